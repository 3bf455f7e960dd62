import { value } from '../../../grammar/tree.ts';
import { type CoatName, readCoats } from '../entries/formula.ts';
import { type Check, finding } from './check.ts';

/** As they are sprayed. */
const ORDER: readonly CoatName[] = ['ground', 'mid', 'top'];

export const coatOrder: Check = {
  pages: [
    {
      code: 'coat-order',
      title: 'Coats out of their order',
      text: 'The coats of a colour are written as they are sprayed: the ground, the mid coats on it, the top coat last. The sheet pours them in this order, and a prediction lays one on the other. Toner lines before the first `coat` line belong to the top coat.',
    },
  ],
  in: ['formula', 'sprayout', 'drawdown'],
  acrossFiles: false,
  *find(_, { entry }) {
    const coats = readCoats(entry);
    for (const [n, { name, line }] of coats.entries()) {
      const above = coats.slice(0, n).find((one) => ORDER.indexOf(one.name) > ORDER.indexOf(name));
      if (!above || !line) continue;
      yield finding(
        'coat-order',
        'warning',
        value(line, 'coat') ?? line,
        `The ${name} coat stands below the ${above.name} coat, which is sprayed on it.`,
        above.line
          ? `Move it above 'coat ${above.name}', with its toner lines.`
          : `Write 'coat ${above.name}' above the first toner lines, and move them below this coat.`,
      );
    }
  },
};
