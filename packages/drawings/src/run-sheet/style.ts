import { INK, MONO, SANS } from '../svg/ink.ts';

/** Style of every page: one column, wide margins, reads top to bottom, prints on plain paper. */
export const PAGE_STYLE = `
:root {
  color-scheme: light dark;
  --paper: ${INK.paper}; --ink: ${INK.ink}; --second: ${INK.second}; --hairline: ${INK.hairline};
  --metal: ${INK.metal}; --warn: ${INK.warn}; --measured: ${INK.measured};
}
@media (prefers-color-scheme: dark) {
  :root { --paper: #15181a; --ink: #e9e6de; --second: #a2a9ac; --hairline: #3d4346; --metal: #e58a6a; --warn: #d3b04c; --measured: #86b7e2; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.5 ${SANS}; font-variant-numeric: tabular-nums; }
main { max-width: 46rem; margin: 0 auto; padding: 2.5rem 1.5rem 5rem; }
h1 { font-size: 1.728rem; line-height: 1.2; margin: 0 0 .3rem; }
h2 { font-size: 1.44rem; line-height: 1.25; margin: 2.6rem 0 .6rem; border-bottom: 1px solid var(--hairline); padding-bottom: .2rem; }
h3 { font-size: 1.2rem; line-height: 1.3; margin: 0; }
p { margin: .4rem 0; }
.second { color: var(--second); }
.next { border-left: 4px solid var(--ink); padding: .2rem 0 .2rem .8rem; margin: 1rem 0; font-size: 1.1rem; }
ol.steps { list-style: none; margin: 0; padding: 0; }
ol.steps > li { display: grid; grid-template-columns: 3.4rem 1fr; padding: 1rem 0; border-top: 1px solid var(--hairline); break-inside: avoid; }
.tick { display: inline-block; width: 1.15rem; height: 1.15rem; border: 1.6px solid var(--ink); margin-right: .45rem; vertical-align: -.2rem; text-align: center; line-height: 1; }
.number { color: var(--second); }
.done h3, .done p { color: var(--second); }
.file { font-family: ${MONO}; font-size: .92em; overflow-wrap: anywhere; }
.key-in { margin: .5rem 0; }
.key-in b { display: inline-block; font-size: 2.49rem; line-height: 1.15; font-weight: 600; }
.key-in span { color: var(--second); }
.measure { display: flex; gap: .6rem; align-items: flex-end; margin: .7rem 0 0; }
.measure i { flex: 0 1 11rem; border-bottom: 1px solid var(--ink); height: 1.3rem; }
.caution { border: 1.5px solid var(--metal); padding: .35rem .7rem; margin: .6rem 0 0; }
.caution > b { color: var(--metal); }
ul.do, ul.care, ol.parts { margin: .4rem 0; padding-left: 1.1rem; }
ul.care { margin: .1rem 0 0; }
ol.parts { list-style: none; padding-left: 0; columns: 2; }
ol.parts li { break-inside: avoid; margin: .15rem 0; }
summary { cursor: pointer; }
summary h3 { display: inline; }
.withheld { border-left: 4px solid var(--warn); padding-left: .8rem; margin: .7rem 0; }
.stop { border-left-color: var(--metal); }
table { border-collapse: collapse; width: 100%; margin: .6rem 0; }
th { text-align: left; font-weight: 600; border-bottom: 1px solid var(--ink); padding: .2rem .6rem .2rem 0; vertical-align: bottom; }
td:first-child { min-width: 7.5rem; }
td { border-bottom: 1px solid var(--hairline); padding: .22rem .6rem .22rem 0; vertical-align: top; }
th.r, td.r { text-align: right; white-space: nowrap; }
figure { margin: 1rem 0; }
figure img, figure svg { width: 100%; height: auto; border: 1px solid var(--hairline); background: ${INK.paper}; }
figcaption { color: var(--second); font-size: .9rem; }
pre { font: .87rem/1.45 ${MONO}; overflow-x: auto; border: 1px solid var(--hairline); padding: .6rem .8rem; }
.scroll { overflow-x: auto; }
@media print {
  :root { --paper: #fff; --ink: #000; --second: #444; --hairline: #bbb; --metal: #8a2f14; --warn: #6b520c; --measured: #173a5a; }
  body { font-size: 10.5pt; }
  @page { margin: 16mm 16mm 18mm; }
  main { max-width: none; padding: 0; }
  figure { break-inside: avoid; }
  figure img { max-height: 222mm; width: auto; max-width: 100%; }
  .measure, .key-in, .caution, tr { break-inside: avoid; }
  details:not([open]) > summary { list-style: none; }
  h2 { break-after: avoid; }
  thead { display: table-header-group; }
}
`;
