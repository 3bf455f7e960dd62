/**
 * Keeps what the books know of their toners up to date, beside the typing: when nothing was edited for a while, samples that
 * changed are sent to be learned, and what the checks read of hiding is worked out formula by formula. Until then the last fit holds.
 */

import { decodeBook } from '../book/decode.ts';
import { hidingCells, settleHiding } from '../book/optics/hiding.ts';
import type { Learned } from '../book/optics/learn.ts';
import { LOCK_NAME, readLock } from '../book/optics/lock.ts';
import { fitName, putFits, unlearnedSamples } from '../book/optics/optics.ts';
import { type Samples, sampleOf } from '../book/optics/samples.ts';
import type { Ports } from './ports.ts';
import { type Shelf, SLICE, type Workspace } from './workspace.ts';

/** Quiet time after an edit before anything is learned. */
const QUIET = 700; // ms

export class Learning {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private running = false;
  private again = false;
  private ended = false;
  /** Counts edits, so that working out hiding stops at the next one. */
  private edits = 0;
  /** Samples that could not be learned; they are not tried again until they change. */
  private readonly failed = new Set<string>();

  constructor(
    private readonly workspace: Workspace,
    private readonly ports: Ports,
    /** Called when predictions or findings may have changed. */
    private readonly onLearned: () => void,
    private readonly log: (text: string) => void,
  ) {}

  /** Takes what optics.lock beside the book says; fits of other cards are taken too and stand until there are better ones. */
  async readLock(shelf: Shelf): Promise<void> {
    if (shelf.folder === '') return;
    const bytes = await this.ports.readFile(`${shelf.folder}${LOCK_NAME}`).catch(() => undefined);
    if (bytes) putFits(shelf.book, readLock(decodeBook(bytes)));
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
      const learned = await this.learn(samples);
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
