/**
 * Text from a file may hold anything. What is shown to a person keeps to one line and cannot steer a terminal:
 * control and direction-changing characters become `\u{…}`, a tab one space.
 */
export function visible(text: string): string {
  return text
    .replace(/\t/g, ' ')
    .replace(
      /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]/g,
      (c) => `\\u{${c.codePointAt(0)!.toString(16)}}`,
    );
}
