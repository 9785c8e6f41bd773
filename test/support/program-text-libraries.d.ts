// General-purpose libraries that publish no types; only what the tests use of them.
declare module 'gcode-toolpath' {
  interface Point {
    x: number;
    y: number;
    z: number;
  }
  export default class Toolpath {
    constructor(options: {
      position?: Point;
      modal?: Record<string, string | number>;
      addLine: (modal: { motion: string }, from: Point, to: Point) => void;
      addArcCurve: (modal: { motion: string; plane: string }, from: Point, to: Point, centre: Point) => void;
    });
    loadFromStringSync(text: string): unknown;
    getPosition(): Point;
  }
}
declare module 'gcode-parser' {
  export function parseStringSync(
    text: string,
    options?: Record<string, unknown>,
  ): { line: string; words: [string, number][] }[];
}
