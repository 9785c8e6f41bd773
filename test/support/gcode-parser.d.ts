// A general-purpose library that publishes no types; only what the tests use of it.
declare module 'gcode-parser' {
  export function parseStringSync(
    text: string,
    options?: Record<string, unknown>,
  ): { line: string; words: [string, number][] }[];
}
