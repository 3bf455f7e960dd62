import type { Finding } from '../../../grammar/finding.ts';
import { type Line, lineOf } from '../../../grammar/tree.ts';
import type { Toner } from '../entries/toner.ts';
import { tonerIn } from '../known.ts';
import { onGrid } from '../optics/grid.ts';
import { samplesOf } from '../optics/samples.ts';
import { type Check, finding } from './check.ts';

export const constantsUnused: Check = {
  pages: [
    {
      code: 'constants-unused',
      title: 'Stated K and S that are not used',
      text: 'The K and S of a toner may be stated instead of being learned from cards. They are used together, from 400 to 700 nm in steps of 20 nm or less, and for solid colours: they say how a toner absorbs and scatters in a film that is read at 45/0 or with a sphere. A flake or pearl mirrors, which K and S do not describe. In effect colours every toner is described for a film among flakes that lie in layers, per unit of a film whose thickness the cards tell; constants relative to some white have no unit there, so that the toner is learned from cards of effect colours.',
    },
  ],
  in: ['toner'],
  acrossFiles: true,
  *find(book, cell) {
    const toner = tonerIn(book, cell);
    const line = lineOf(cell.entry, 'absorption') ?? lineOf(cell.entry, 'scattering');
    if (!line?.whole) return;
    const told = unusable(toner, line);
    if (told) yield told;
    else if (toner.absorption && samplesOf(book, toner.system ?? '', 'effect').samples.length > 0)
      yield finding(
        'constants-unused',
        'info',
        line.wordSpan,
        'These K and S are used for solid colours only: in effect colours the toner is learned from cards.',
        `Draw ${toner.code} down over black and white and read it at aspecular angles, if no effect card holds it.`,
      );
  },
};

function unusable({ kind, absorption, scattering }: Toner, line: Line): Finding | undefined {
  const unused = (problem: string, remedy: string) =>
    finding('constants-unused', 'warning', line.wordSpan, problem, remedy);
  if (kind === 'flake' || kind === 'pearl')
    return unused(
      `K and S do not say how a ${kind} mirrors: they are not used.`,
      'Take them out; the toner is learned from cards that are read at aspecular angles.',
    );
  if (!absorption || !scattering)
    return unused(
      `${line.word === 'absorption' ? 'K without S' : 'S without K'} is not used.`,
      `State ${line.word === 'absorption' ? 'the scattering' : 'the absorption'} as well, or let the toner be learned from cards.`,
    );
  if (!onGrid(absorption) || !onGrid(scattering))
    return unused(
      'K and S are not used unless both reach from 400 to 700 nm in steps of 20 nm or less.',
      'State them for example over 400..700/20.',
    );
  return undefined;
}
