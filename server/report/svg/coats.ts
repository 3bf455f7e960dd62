/** Coats to hide against the grey below, as a picture that also holds in black and white. */
import { lightnessOfValue } from '../../paint/munsell.ts';
import { escapeXml } from '../xml.ts';

export interface CoatsPoint {
  readonly lightness: number;
  readonly munsellValue: number;
  /** null: it does not hide. */
  readonly coats: number | null;
}

export interface CoatsChart {
  readonly title: string;
  /** In any order. */
  readonly points: readonly CoatsPoint[];
  /** A coloured undercoat, told by its formula, stands at its lightness. */
  readonly named?: (CoatsPoint & { readonly formula?: string | undefined }) | undefined;
  readonly best?: CoatsPoint | undefined;
}

const WIDTH = 480;
const HEIGHT = 260;
const LEFT = 52;
const RIGHT = 16;
const TOP = 34;
const BOTTOM = 46;
const DARKEST = 15;
const LIGHTEST = 100;
/** Above this the axis ends: more coats than that nobody sprays. */
const MOST_SHOWN = 12;

/** SVG of its own colours by `currentColor`, so that it reads on light and dark paper alike. */
export function coatsSvg({ title, points, named, best }: CoatsChart): string {
  const sorted = [...points].sort((a, b) => a.lightness - b.lightness);
  const known = sorted.flatMap((point) => (point.coats === null ? [] : Math.min(point.coats, MOST_SHOWN)));
  const most = Math.max(1, Math.ceil(Math.max(0, ...known, named?.coats ?? 0, best?.coats ?? 0)));
  const top = Math.min(most, MOST_SHOWN);
  const x = (lightness: number) => LEFT + ((lightness - DARKEST) / (LIGHTEST - DARKEST)) * (WIDTH - LEFT - RIGHT);
  const y = (coats: number) => HEIGHT - BOTTOM - (Math.min(coats, top) / top) * (HEIGHT - TOP - BOTTOM);
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escapeXml(`${title}: ${told(sorted, named, best)}`)}" font-family="sans-serif" font-size="11" fill="currentColor">`,
    `<text x="${LEFT}" y="16" font-size="13">${escapeXml(title)}</text>`,
    ...coatLines(top, y),
    ...greyTicks(x),
    `<path d="${path(sorted, x, y)}" fill="none" stroke="currentColor" stroke-width="1.8"/>`,
    ...mark(named, namedWords(named), x, y, 'none'),
    ...mark(best, `best ${greyName(best)}`, x, y, 'currentColor'),
    `<text x="${(LEFT + WIDTH - RIGHT) / 2}" y="${HEIGHT - 8}" text-anchor="middle">undercoat grey (Munsell value), predicted</text>`,
    '</svg>',
  ];
  return parts.join('');
}

const figure = (value: number): string => Number(value.toFixed(1)).toString();

const greyName = (point: CoatsPoint | undefined): string => (point ? `N${figure(point.munsellValue)}` : '');

const coatsOf = ({ coats }: CoatsPoint): string => (coats === null ? 'never' : figure(coats));

const namedWords = (named: CoatsChart['named']): string =>
  named?.formula === undefined ? `named ${greyName(named)}` : `formula ${named.formula}`;

function told(points: readonly CoatsPoint[], named: CoatsPoint | undefined, best: CoatsPoint | undefined): string {
  const one = (point: CoatsPoint) => `${greyName(point)} ${coatsOf(point)}`;
  const ends = points.length > 0 ? `coats over ${points.map(one).join(', ')}` : 'nothing is known';
  const marks = [best && `best ${one(best)}`, named && `${namedWords(named)} ${coatsOf(named)}`].filter(Boolean);
  return [ends, ...marks].join('; ');
}

function coatLines(top: number, y: (coats: number) => number): string[] {
  const step = Math.max(1, Math.ceil(top / 6));
  return Array.from({ length: Math.floor(top / step) + 1 }, (_, i) => i * step).map(
    (coats) =>
      `<line x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${fixed(y(coats))}" y2="${fixed(y(coats))}" stroke="currentColor" stroke-opacity="0.25"/><text x="${LEFT - 6}" y="${fixed(y(coats) + 4)}" text-anchor="end">${coats}${coats === 0 ? ' coats' : ''}</text>`,
  );
}

/** Ticks stand at whole Munsell values. */
const VALUES: readonly (readonly [value: number, lightness: number])[] = [2, 3, 4, 5, 6, 7, 8, 9].map((value) => [
  value,
  lightnessOfValue(value),
]);

const greyTicks = (x: (lightness: number) => number): string[] =>
  VALUES.map(
    ([value, lightness]) =>
      `<line x1="${fixed(x(lightness))}" x2="${fixed(x(lightness))}" y1="${HEIGHT - BOTTOM}" y2="${HEIGHT - BOTTOM + 4}" stroke="currentColor"/><text x="${fixed(x(lightness))}" y="${HEIGHT - BOTTOM + 17}" text-anchor="middle">N${value}</text>`,
  );

/** The line breaks where the paint does not hide. */
function path(points: readonly CoatsPoint[], x: (l: number) => number, y: (c: number) => number): string {
  let pen = 'M';
  return points
    .flatMap(({ lightness, coats }) => {
      if (coats === null) {
        pen = 'M';
        return [];
      }
      const here = `${pen}${fixed(x(lightness))} ${fixed(y(coats))}`;
      pen = 'L';
      return here;
    })
    .join('');
}

/** A full dot for the best grey, an open one for the named, each with its words: no colour is needed to tell them apart. */
function mark(
  point: CoatsPoint | undefined,
  word: string,
  x: (l: number) => number,
  y: (c: number) => number,
  fill: string,
): string[] {
  if (!point || point.coats === null) return [];
  const [cx, cy] = [x(point.lightness), y(point.coats)];
  const label = escapeXml(`${word}: ${figure(point.coats)}`);
  const anchor = cx > WIDTH / 2 ? 'end' : 'start';
  const away = anchor === 'end' ? -8 : 8;
  const lift = word.startsWith('best') ? 14 : -8;
  return [
    `<circle cx="${fixed(cx)}" cy="${fixed(cy)}" r="4.5" fill="${fill}" stroke="currentColor" stroke-width="1.5"/>`,
    `<text x="${fixed(cx + away)}" y="${fixed(cy + lift)}" text-anchor="${anchor}">${label}</text>`,
  ];
}

const fixed = (value: number): string => Number(value.toFixed(1)).toString();
