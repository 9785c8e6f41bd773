/** Letters, codes and planes by number, as the scanner and the interpreter use them. */

/** Motions that a program may ask for beyond its lines: a repeat count of a million is an error of writing. */
export const MOST_REPEATS = 10_000;
export const MOST_MOTIONS = 20_000_000;

// Letter indexes.
export const D = 3;
export const F = 5;
export const H = 7;
export const I = 8;
export const J = 9;
export const K = 10;
export const L = 11;
export const P = 15;
export const Q = 16;
export const R = 17;
export const S = 18;
export const T = 19;
export const X = 23;
export const Y = 24;
export const Z = 25;
export const bit = (letter: number): number => 1 << letter;
export const AXES = bit(X) | bit(Y) | bit(Z);
export const PLAIN = AXES | bit(F) | bit(13);
export const AXIS_LETTER = [X, Y, Z];
export const CENTRE_LETTER = [I, J, K];
export const NAME = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

// Motion modes, as ten times the code; −1 unknown.
export const NONE = -1;
export const G0 = 0;
export const G1 = 10;
export const G2 = 20;
export const G3 = 30;
export const G80 = 800;

export const isCycle = (motion: number): boolean => motion > G80 && motion <= 890;

/** Plane data: first axis, second axis, normal (0 X, 1 Y, 2 Z). In G18 the order is Z, X (NGC 3.5.3). */
export const PLANES: Readonly<Record<number, readonly [number, number, number]>> = {
  17: [0, 1, 2],
  18: [2, 0, 1],
  19: [1, 2, 0],
};
