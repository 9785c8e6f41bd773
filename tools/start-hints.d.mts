export const HINTS: string[][];
