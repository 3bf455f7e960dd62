/**
 * Keeps what the books know of their toners up to date, beside the typing: when nothing was edited for a while, samples that
 * changed are sent to be learned, and what the checks read of hiding is worked out formula by formula. Until then the last fit holds.
 */

import { decodeBook } from '../book/decode.ts';
import { untracked } from '../book/facts.ts';
import { hidingCells, settleHiding } from '../book/optics/hiding.ts';
import type { Learned } from '../book/optics/learn.ts';
import { LOCK_NAME, readLock } from '../book/optics/lock.ts';
import { fitName, opticsOf, putFits, unlearnedSamples } from '../book/optics/optics.ts';
import { type Samples, sampleOf, samplesOf } from '../book/optics/samples.ts';
import type { Ports } from './ports.ts';
import { normalUri } from './uri.ts';
import { type Shelf, SLICE, type Workspace } from './workspace.ts';

/** Quiet time after an edit before anything is learned. */
const QUIET = 700; // ms

/** Whether a recorded fit is of the cards as they are, or there is none of these yet. */
const isWanted = ({ book }: Shelf, { system, side, key }: Learned): boolean =>
  untracked(() => opticsOf(book, system, side).state !== 'ready' || samplesOf(book, system, side).key === key);

export class Learning {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private running = false;
  private again = false;
  private ended = false;
  /** Counts edits, so that working out hiding stops at the next one. */
  private edits = 0;
  /** Samples that could not be learned; they are not tried again until they change. */
  private readonly failed = new Set<string>();
  /** What optics.lock of each book says. */
  private readonly recorded = new WeakMap<Shelf, readonly Learned[]>();

  constructor(
    private readonly workspace: Workspace,
    private readonly ports: Ports,
    /** Called when predictions or findings may have changed. */
    private readonly onLearned: () => void,
    private readonly log: (text: string) => void,
  ) {}

  /**
   * Takes what optics.lock beside the book says, now and after it has changed. Fits of other cards are taken too where nothing better
   * is known: they stand until it is, or until the cards that they are of have come.
   */
  async readLock(shelf: Shelf): Promise<void> {
    if (shelf.folder === '') return;
    const bytes = await this.ports.readFile(`${shelf.folder}${LOCK_NAME}`).catch(() => undefined);
    const fits = bytes ? readLock(decodeBook(bytes)) : [];
    this.recorded.set(shelf, fits);
    if (
      this.take(
        shelf,
        fits.filter((fit) => isWanted(shelf, fit)),
      )
    )
      this.onLearned();
  }

  /** Tells of files that were changed outside the editor; reads the records among them. */
  async filesChanged(uris: readonly string[]): Promise<void> {
    const changed = new Set(uris.map(normalUri));
    for (const shelf of this.workspace.allShelves())
      if (changed.has(`${shelf.folder}${LOCK_NAME}`)) await this.readLock(shelf);
    this.changed();
  }

  /** Returns whether any is another than the book had. */
  private take({ book }: Shelf, fits: readonly Learned[]): boolean {
    const known = book.fits.peek();
    const moved = fits.filter((fit) => JSON.stringify(known.get(fitName(fit))) !== JSON.stringify(fit));
    putFits(book, moved);
    return moved.length > 0;
  }

  /** Something was edited or read: look again when it is quiet. */
  changed(): void {
    if (this.ended) return;
    this.edits++;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.look(), QUIET);
  }

  end(): void {
    this.ended = true;
    clearTimeout(this.timer);
  }

  private async look(): Promise<void> {
    this.again = this.running;
    if (this.running || this.ended) return;
    this.running = true;
    try {
      for (const shelf of this.workspace.allShelves()) if (shelf.book.loaded.peek()) await this.lookAt(shelf);
    } catch (error) {
      this.log(`learning the toners failed: ${error instanceof Error ? error.message : String(error)}`);
    } finally {
      this.running = false;
      if (this.again) this.changed();
    }
  }

  private async lookAt(shelf: Shelf): Promise<void> {
    await this.readCards(shelf);
    let moved = false;
    for (const samples of unlearnedSamples(shelf.book)) {
      if (this.ended || this.failed.has(samples.key)) continue;
      const recorded = this.recorded.get(shelf)?.find((fit) => fit.key === samples.key);
      const learned = recorded ?? (await this.learn(samples));
      if (!learned) continue;
      putFits(shelf.book, [learned]);
      moved = true;
    }
    const settled = await this.settle(shelf);
    if (moved || settled) this.onLearned();
  }

  /** In slices, so that the first look at a book of many cards holds nothing up. */
  private async readCards({ book }: Shelf): Promise<void> {
    let since = performance.now();
    for (const cell of [...book.ofKind('sprayout'), ...book.ofKind('drawdown')]) {
      sampleOf(book, cell, 'solid');
      if (performance.now() - since < SLICE) continue;
      await this.ports.pause();
      since = performance.now();
    }
  }

  private async learn(samples: Samples): Promise<Learned | undefined> {
    try {
      return await this.ports.learn?.(samples);
    } catch (error) {
      this.failed.add(samples.key);
      this.log(`learning ${fitName(samples)} failed: ${error instanceof Error ? error.message : String(error)}`);
      return undefined;
    }
  }

  /** Returns whether anything became another. */
  private async settle({ book }: Shelf): Promise<boolean> {
    const { edits } = this;
    let moved = false;
    for (const cell of hidingCells(book)) {
      if (this.ended || this.edits !== edits) break;
      const since = performance.now();
      moved = settleHiding(book, cell) || moved;
      if (performance.now() - since > 2) await this.ports.pause();
    }
    return moved;
  }
}
