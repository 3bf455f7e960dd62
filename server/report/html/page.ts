/** The frame of a page of HTML that needs nothing else: printed on A4 or letter, legible in black and white, without a script. */
import { escapeXml as text } from '../xml.ts';

const STYLE = `
:root { color-scheme: light; }
@page { margin: 12mm 14mm; }
body { font: 15px/1.4 Georgia, 'Liberation Serif', serif; color: #111; background: #fff; max-width: 60rem; margin: 2rem auto; padding: 0 1.5rem; }
h1 { font-size: 1.5rem; margin: 0 0 .3rem; }
h2 { font-size: 1.1rem; margin: 0; }
p { margin: .3rem 0; }
section { margin: 1rem 0; }
ul { margin: .4rem 0; padding-left: 1.2rem; }
table { border-collapse: collapse; margin: .5rem 0; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-style: italic; padding-bottom: .15rem; }
th { text-align: left; font-weight: normal; font-style: italic; border-bottom: 1px solid #111; padding: .1rem .8rem .1rem 0; vertical-align: bottom; }
td { padding: .1rem .8rem .1rem 0; border-bottom: 1px solid #ddd; }
.n { text-align: right; }
@media print { body { margin: 0; max-width: none; padding: 0; font-size: 9.5pt; } }
`;

/** `style` is added to that of the frame; `inside` is HTML. */
export const page = (title: string, style: string, inside: string): string =>
  [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    `<title>${text(title)}</title>`,
    `<style>${STYLE}${style}</style></head><body>`,
    inside,
    '</body></html>',
    '',
  ].join('\n');
