/** A screw's length as it is asked for in a shop: `20 mm`, `1.25 in`. `length` in mm. */
export function lengthName(threadDesignation: string, length: number): string {
  return threadDesignation.startsWith('M')
    ? `${Number(length.toFixed(2))} mm`
    : `${Number((length / 25.4).toFixed(3))} in`;
}
