/** The history of an entry as one page that needs nothing else: the path of its colour, then every version, the newest first. */
import type { HistoryAnswer, HistoryStep } from '../../review/history.ts';
import { anglesShown, PATH_HEAD, pathChart, pathRows, type Version, versionsOf } from '../history-path.ts';
import { differing, entryText, factsOf, remarksOf, shortHash, tonerFigures, tonersDiffer } from '../review-facts.ts';
import { endOf, nameOf } from '../text/history.ts';
import { escapeXml as text } from '../xml.ts';
import { FIGURES_STYLE, facts, figures, list } from './figures.ts';
import { page } from './page.ts';

const STYLE = `
figure { margin: 1rem 0; break-inside: avoid; }
figure svg { width: 100%; max-width: 44rem; height: auto; display: block; }
article { border-top: 1px solid #111; padding: .7rem 0 .8rem; break-inside: avoid; }
`;

export function historyHtml(answer: HistoryAnswer, angle = 'worst'): string {
  const versions = versionsOf(answer);
  const name = answer.steps.find(({ formula }) => formula)?.formula?.name;
  const title = name ? `${answer.id} "${name}"` : answer.id;
  return page(
    `History of ${answer.id}`,
    FIGURES_STYLE + STYLE,
    [
      `<header><h1>${text(title)}: its versions</h1>${answer.shop ? `<p>${text(answer.shop)}</p>` : ''}</header>`,
      ...anglesShown(versions, angle).map((geometry) => path(versions, geometry)),
      ...answer.steps.map((step, index) => article(step, answer.steps.length - index)),
      ...endOf(answer).map((line) => `<p>${text(line)}</p>`),
    ].join('\n'),
  );
}

function path(versions: readonly Version[], geometry: string): string {
  const rows = pathRows(versions, geometry);
  return [
    `<figure>${pathChart(versions, geometry)}</figure>`,
    figures(`At ${geometry}, the oldest version first`, {
      head: PATH_HEAD,
      rows,
      marked: rows.map(() => false),
      right: [true, false, true, false, true, true, true],
    }),
  ].join('\n');
}

function article(step: HistoryStep, number: number): string {
  const { commit, author, date, subject, formula, entry } = step;
  return [
    '<article>',
    `<h2>${number}. ${text(subject)}</h2>`,
    `<div>${text(author)}, ${text(date.slice(0, 16).replace('T', ' '))} <span class="hash">${shortHash(commit)}</span></div>`,
    ...(entry ? [`<p class="says">${text(`${step.id}: ${entryText(entry)}`)}</p>`] : []),
    ...(formula
      ? [
          `<p class="says">${text(`${nameOf(step)}: ${formula.sentence}`)}</p>`,
          ...formula.callOuts.map(({ text: said }) => `<p class="out">${text(said)}</p>`),
          ...(tonersDiffer(formula) ? [figures('Toners', tonerFigures(formula))] : []),
          facts(differing(factsOf(formula))),
          list(remarksOf({ ...formula, variants: [] })),
        ]
      : []),
    '</article>',
  ].join('\n');
}
