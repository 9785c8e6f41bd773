/// <reference lib="dom" />
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';

/** A browser of the system; none is downloaded. */
const BROWSER = [
  process.env.BEDLEDGER_BROWSER,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((path) => path !== undefined && existsSync(path));
const machines = readdirSync(join(ROOT, 'machines')).filter((id) =>
  existsSync(join(ROOT, 'machines', id, 'issued/run-sheet.html')),
);

if (BROWSER === undefined) {
  process.stderr.write(
    'pages in a browser: skipped, because no Chromium is installed (set BEDLEDGER_BROWSER to its path)\n',
  );
}

describe.skipIf(BROWSER === undefined)('pages and drawings in a real browser', () => {
  let browser: Browser;
  let profile: string;
  beforeAll(async () => {
    profile = mkdtempSync(join(tmpdir(), 'bedledger-browser-'));
    browser = await chromium.launch({
      executablePath: BROWSER as string,
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    });
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(profile, { recursive: true, force: true });
  });

  async function open(file: string, width: number): Promise<{ page: Page; problems: string[] }> {
    const page = await browser.newPage({ viewport: { width, height: 900 } });
    const problems: string[] = [];
    page.on('console', (m) => {
      if (m.type() === 'error' || m.type() === 'warning') problems.push(m.text());
    });
    page.on('pageerror', (e) => problems.push(e.message));
    page.on('requestfailed', (r) => problems.push(`${r.url()} failed`));
    page.on('request', (r) => {
      if (!r.url().startsWith('file:'))
        problems.push(`${r.url()} was asked for: a page must need nothing from anywhere else`);
    });
    await page.goto(pathToFileURL(file).href);
    return { page, problems };
  }

  it.each(machines)(
    '%s: the run sheet is whole, fits a phone, and its key-in numbers are the largest in their steps',
    async (id) => {
      for (const width of [390, 1280]) {
        const { page, problems } = await open(join(ROOT, 'machines', id, 'issued/run-sheet.html'), width);
        expect(problems).toEqual([]);
        const seen = await page.evaluate(() => {
          const size = (e: Element): number => Number.parseFloat(getComputedStyle(e).fontSize);
          return {
            overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
            images: [...document.images].map((i) => i.complete && i.naturalWidth > 0),
            steps: [...document.querySelectorAll('ol.steps > li')].map((li) => {
              const keyIn = li.querySelector('.key-in b');
              return (
                keyIn === null ||
                [...li.querySelectorAll('*')].every((e) => e === keyIn || size(e) < size(keyIn))
              );
            }),
            headings: [...document.querySelectorAll('h1')].length,
          };
        });
        expect(seen.overflow).toBeLessThanOrEqual(0);
        expect(seen.images.length).toBeGreaterThanOrEqual(2);
        expect(seen.images.every(Boolean)).toBe(true);
        expect(seen.steps.length).toBeGreaterThan(0);
        expect(seen.steps.every(Boolean)).toBe(true);
        expect(seen.headings).toBe(1);
        await page.close();
      }
    },
  );

  it.each(machines)(
    '%s: the drawings keep inside their frames and no site label covers another',
    async (id) => {
      const drawings = readdirSync(join(ROOT, 'machines', id, 'issued')).filter((n) => n.endsWith('.svg'));
      expect(drawings).toEqual(expect.arrayContaining(['bed.svg', 'stack.svg']));
      for (const name of drawings) {
        const { page, problems } = await open(join(ROOT, 'machines', id, 'issued', name), 1400);
        expect(problems).toEqual([]);
        const seen = await page.evaluate(() => {
          const svg = document.querySelector('svg') as SVGSVGElement;
          // The frame is 8 mm inside the paper.
          const sheet = svg.getBoundingClientRect();
          const margin = (8 / svg.viewBox.baseVal.width) * sheet.width;
          const paper = {
            left: sheet.left + margin,
            right: sheet.right - margin,
            top: sheet.top + margin,
            bottom: sheet.bottom - margin,
          };
          const texts = [...svg.querySelectorAll('text')].map((t) => ({
            text: t.textContent ?? '',
            box: t.getBoundingClientRect(),
            bold: t.getAttribute('font-weight') !== null,
          }));
          const outside = texts
            .filter(
              ({ box }) =>
                box.left < paper.left - 1 ||
                box.right > paper.right + 1 ||
                box.top < paper.top - 1 ||
                box.bottom > paper.bottom + 1,
            )
            .map((t) => t.text);
          const sites = texts.filter(({ text, bold }) => bold && /^[A-Z]{1,2}\d+$/.test(text));
          const clashes: string[] = [];
          sites.forEach((a, i) => {
            for (const b of sites.slice(i + 1)) {
              const apart =
                a.box.right < b.box.left ||
                b.box.right < a.box.left ||
                a.box.bottom < b.box.top ||
                b.box.bottom < a.box.top;
              if (!apart) clashes.push(`${a.text} on ${b.text}`);
            }
          });
          return { texts: texts.length, outside, clashes };
        });
        expect(seen.texts).toBeGreaterThan(10);
        expect(seen.outside).toEqual([]);
        expect(seen.clashes).toEqual([]);
        await page.close();
      }
    },
  );

  it.each(machines)('%s: the run sheet prints on few pages, and no drawing is cut in two', async (id) => {
    const { page } = await open(join(ROOT, 'machines', id, 'issued/run-sheet.html'), 1280);
    await page.emulateMedia({ media: 'print' });
    // A4 less the margins of the page, at 96 px to the inch.
    const room = ((297 - 34) / 25.4) * 96;
    await page.setViewportSize({ width: Math.round(((210 - 32) / 25.4) * 96), height: Math.round(room) });
    const seen = await page.evaluate(() => ({
      figures: [...document.querySelectorAll('figure')].map((f) => f.getBoundingClientRect().height),
      overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    }));
    for (const height of seen.figures) expect(height).toBeLessThan(room);
    expect(seen.overflow).toBeLessThanOrEqual(0);
    const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true });
    const pages = pdf.toString('latin1').match(/\/Type *\/Page\b(?!s)/g)?.length ?? 0;
    expect(pages).toBeGreaterThan(1);
    expect(pages).toBeLessThanOrEqual(20);
    await page.close();
  });

  it('what a profile says cannot become part of the page', async () => {
    // Titles with markup are data: no element of theirs appears in the page.
    for (const id of machines) {
      const { page } = await open(join(ROOT, 'machines', id, 'issued/run-sheet.html'), 800);
      expect(
        await page.evaluate(() => document.querySelectorAll('script, iframe, object, embed').length),
      ).toBe(0);
      await page.close();
    }
  });
});
