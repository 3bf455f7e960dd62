/** What a formula was called in earlier versions of a line of commits. */
import { Outline } from '../review/outline.ts';
import { review } from '../review/review.ts';
import type { Source } from '../review/source.ts';
import { openVersions } from '../review/versions.ts';
import { boundary } from './bisect-search.ts';

/** Versions by their number from the newest, in which the formula has this id. */
export class EarlierNames {
  /** Each name with the newest version in which it is known to stand. */
  private readonly names: { readonly since: number; readonly id: string | undefined }[];

  constructor(
    private readonly versionAt: (index: number) => Promise<Source>,
    id: string,
  ) {
    this.names = [{ since: 0, id }];
  }

  /** Nothing where it was not there yet. */
  async at(index: number): Promise<string | undefined> {
    for (;;) {
      const { since, id } = this.names.findLast((one) => one.since <= index)!;
      if (id === undefined || (await this.has(index, id))) return id;
      // Between the two it got this name: the newest versions have it, the older ones do not.
      const { bad } = await boundary(index - since + 1, async (step) => !(await this.has(since + step, id)));
      const came = since + bad;
      this.names.push({ since: came + 1, id: await this.before(came, id) });
    }
  }

  private async has(index: number, id: string): Promise<boolean> {
    const parts = new Outline(await this.versionAt(index)).withId(id);
    return parts.some(({ kind }) => kind === 'formula' || kind === 'variant');
  }

  private async before(index: number, id: string): Promise<string | undefined> {
    const versions = await openVersions(await this.versionAt(index + 1), await this.versionAt(index));
    return review(versions).formulas.find((one) => one.id === id)?.from ?? undefined;
  }
}
