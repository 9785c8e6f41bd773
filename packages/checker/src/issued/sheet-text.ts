/** The words of a page without its markup; style and script left out, the five named entities read back. */
export function pageText(html: string): string {
  return html
    .replace(/<(style|script)\b[\s\S]*?<\/\1>/gi, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#39;|&apos;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');
}

/** A program that the sheet says to load, as it names it, and where in the text it says so. */
interface Load {
  readonly path: string;
  readonly at: number;
}

/** What a text of the sheet says to load, in its order. */
export function loadsIn(text: string): Load[] {
  return [...text.matchAll(/\bLoad (\S+?)\.?(?= |$)/g)].map((m) => ({ path: m[1]!, at: m.index }));
}

/** Does the path that the sheet names lead to the program file of the manifest? Either may have folders before the other. */
export function isLoaded(path: string, file: string): boolean {
  return path === file || path.endsWith(`/${file}`) || file.endsWith(path);
}
