declare module 'gcode-toolpath' {
  interface Point3 {
    readonly x: number;
    readonly y: number;
    readonly z: number;
  }
  interface Handlers {
    addLine(modal: { motion: string }, from: Point3, to: Point3): void;
    addArcCurve(modal: { motion: string }, from: Point3, to: Point3, centre: Point3): void;
  }
  export default class Toolpath {
    constructor(handlers: Handlers);
    loadFromStringSync(text: string): void;
  }
}
