import { ciede2000, ciede2000Bound, ciede2000BoxBound } from './ciede2000.ts';

/** By the mean over the angles, or by the worst of them. */
export type Over = 'mean' | 'worst';

export interface Found {
  /** Which of the indexed readings, from 0. */
  readonly index: number;
  /** CIEDE2000, mean or worst over the angles. */
  readonly difference: number;
}

export interface SearchOptions {
  /** Default: mean. */
  readonly over?: Over;
  /** Only readings that pass, such as those of one finish or maker. */
  readonly accept?: (index: number) => boolean;
  /** Only readings at most this far away. */
  readonly within?: number;
}

/** Readings per leaf: below this, going through them costs less than another box. */
const LEAF = 24;
/** Figures of a box per angle: least and greatest L*, a*, b*, greatest chroma. */
const BOX = 7;
/** Grows around the first colour put in. */
const NO_BOX = [Infinity, -Infinity, Infinity, -Infinity, Infinity, -Infinity, 0];
/** Readings looked at to see in which coordinate a node is widest. */
const SAMPLE = 200;
/** Bounds and differences are rounded differently in their last digits; a bound must exceed the limit by more than that. */
const ROUNDING = 1 + 1e-12;

/**
 * Finds the readings nearest to one, exactly as going through all would, over readings of one set of angles.
 *
 * A k-d tree over all L*, a*, b* of all angles, with the box of each node: a node is left out when even the nearest corner of
 * its box must be further than the worst reading kept so far.
 */
export class LabIndex {
  readonly count: number;
  readonly angles: number;
  /** Colours in the order of the leaves: L*, a*, b*, chroma of each angle. */
  private readonly colours: Float64Array;
  private readonly order: Int32Array;
  private readonly boxes: Float64Array;
  /** Node i holds order[ranges[2i]] up to, not with, order[ranges[2i + 1]]; its children are 2i + 1 and 2i + 2. */
  private readonly ranges: Int32Array;

  /**
   * @param labs L*, a*, b* of each angle of each reading, one after the other; not kept
   * @throws RangeError when a value is no number or the length does not fit
   */
  constructor(labs: Float64Array, angles: number) {
    if (angles < 1 || labs.length % (3 * angles) !== 0)
      throw new RangeError(`${labs.length} values do not make readings of ${angles} angles.`);
    if (!labs.every(Number.isFinite)) throw new RangeError('A Lab value to be indexed is not a number.');
    this.angles = angles;
    this.count = labs.length / (3 * angles);
    const depth = Math.max(0, Math.ceil(Math.log2(this.count / LEAF)));
    const nodes = 2 ** (depth + 1) - 1;
    this.order = Int32Array.from({ length: this.count }, (_, i) => i);
    this.ranges = new Int32Array(2 * nodes);
    this.boxes = new Float64Array(nodes * angles * BOX);
    this.divide(labs, 0, 0, this.count);
    this.colours = this.inOrder(labs);
  }

  /**
   * The nearest readings, nearest first; of equal ones the earlier first.
   * @param query L*, a*, b* of each angle, in the order of the index
   */
  nearest(query: Float64Array, count: number, options: SearchOptions = {}): Found[] {
    if (query.length !== 3 * this.angles)
      throw new RangeError(
        `A reading of ${query.length / 3} angles cannot be compared with readings of ${this.angles}.`,
      );
    const search = new Search(this.angles, query, count, options);
    if (this.count > 0 && count > 0) this.visit(search, 0, this.bound(search, 0));
    return search.found();
  }

  private divide(labs: Float64Array, node: number, from: number, to: number): void {
    this.ranges[2 * node] = from;
    this.ranges[2 * node + 1] = to;
    if (this.isLeaf(node)) {
      this.enclose(labs, node, from, to);
      return;
    }
    const middle = (from + to) >> 1;
    selectNth(this.order, labs, 3 * this.angles, this.widestAxis(labs, from, to), from, to - 1, middle);
    this.divide(labs, 2 * node + 1, from, middle);
    this.divide(labs, 2 * node + 2, middle, to);
    this.encloseChildren(node);
  }

  private isLeaf(node: number): boolean {
    const size = this.ranges[2 * node + 1]! - this.ranges[2 * node]!;
    return size <= LEAF || 2 * node + 2 >= this.ranges.length / 2;
  }

  /** The coordinate in which the readings spread most, judged by a sample: a poor split costs time, never a wrong answer. */
  private widestAxis(labs: Float64Array, from: number, to: number): number {
    const size = 3 * this.angles;
    const low = new Float64Array(size).fill(Infinity);
    const high = new Float64Array(size).fill(-Infinity);
    const stride = Math.max(1, Math.floor((to - from) / SAMPLE));
    for (let place = from; place < to; place += stride)
      for (let c = 0, k = this.order[place]! * size; c < size; c++, k++) {
        if (labs[k]! < low[c]!) low[c] = labs[k]!;
        if (labs[k]! > high[c]!) high[c] = labs[k]!;
      }
    const width = low.map((value, c) => high[c]! - value);
    return width.indexOf(Math.max(...width));
  }

  /** Sets a leaf's box from its readings. */
  private enclose(labs: Float64Array, node: number, from: number, to: number): void {
    const { angles, boxes, order } = this;
    for (let angle = 0; angle < angles; angle++) {
      const at = (node * angles + angle) * BOX;
      boxes.set(NO_BOX, at);
      for (let place = from; place < to; place++) {
        const k = (order[place]! * angles + angle) * 3;
        for (let c = 0; c < 3; c++) {
          const value = labs[k + c]!;
          if (value < boxes[at + 2 * c]!) boxes[at + 2 * c] = value;
          if (value > boxes[at + 2 * c + 1]!) boxes[at + 2 * c + 1] = value;
        }
        boxes[at + 6] = Math.max(boxes[at + 6]!, Math.sqrt(labs[k + 1]! ** 2 + labs[k + 2]! ** 2));
      }
    }
  }

  private encloseChildren(node: number): void {
    const { angles, boxes } = this;
    const size = angles * BOX;
    const left = (2 * node + 1) * size;
    const right = left + size;
    for (let i = 0; i < size; i++) {
      const least = i % BOX < 6 && (i % BOX) % 2 === 0;
      const [p, q] = [boxes[left + i]!, boxes[right + i]!];
      boxes[node * size + i] = least ? Math.min(p, q) : Math.max(p, q);
    }
  }

  private inOrder(labs: Float64Array): Float64Array {
    const { angles, order } = this;
    const colours = new Float64Array(4 * angles * order.length);
    let to = 0;
    for (const index of order)
      for (let k = index * angles * 3; k < (index + 1) * angles * 3; k += 3) {
        const a = labs[k + 1]!;
        const b = labs[k + 2]!;
        colours[to++] = labs[k]!;
        colours[to++] = a;
        colours[to++] = b;
        colours[to++] = Math.sqrt(a * a + b * b);
      }
    return colours;
  }

  private bound(search: Search, node: number): number {
    const { angles, boxes } = this;
    const { query } = search;
    let total = 0;
    for (let angle = 0, at = node * angles * BOX, q = 0; angle < angles; angle++, at += BOX, q += 4) {
      const one = ciede2000BoxBound(query[q]!, query[q + 1]!, query[q + 2]!, query[q + 3]!, boxes, at);
      total = search.add(total, one);
      if (search.exceeds(total)) return total;
    }
    return total;
  }

  private visit(search: Search, node: number, bound: number): void {
    if (search.exceeds(bound)) return;
    const right = 2 * node + 2;
    if (this.isLeaf(node)) {
      for (let place = this.ranges[2 * node]!; place < this.ranges[2 * node + 1]!; place++)
        search.look(this.order[place]!, this.colours, place * this.angles * 4);
      return;
    }
    const first = this.bound(search, right - 1);
    const second = this.bound(search, right);
    if (first <= second) {
      this.visit(search, right - 1, first);
      this.visit(search, right, second);
    } else {
      this.visit(search, right, second);
      this.visit(search, right - 1, first);
    }
  }
}

/** One search under way: the best readings so far, and what a reading may at most differ to get among them. */
class Search {
  /** L*, a*, b*, chroma of each angle. */
  readonly query: Float64Array;
  private readonly worst: boolean;
  private readonly accept: ((index: number) => boolean) | undefined;
  private readonly best: Found[] = [];
  /** In the units of add(): for the mean, the sum over the angles. */
  private limit: number;
  private readonly divisor: number;

  constructor(
    private readonly angles: number,
    query: Float64Array,
    private readonly count: number,
    options: SearchOptions,
  ) {
    this.query = new Float64Array(4 * angles);
    for (let i = 0; i < angles; i++) {
      this.query.set(query.subarray(3 * i, 3 * i + 3), 4 * i);
      this.query[4 * i + 3] = Math.sqrt(query[3 * i + 1]! ** 2 + query[3 * i + 2]! ** 2);
    }
    this.worst = options.over === 'worst';
    this.divisor = this.worst ? 1 : angles;
    this.accept = options.accept;
    this.limit = (options.within ?? Infinity) * this.divisor;
  }

  add(total: number, one: number): number {
    return this.worst ? Math.max(total, one) : total + one;
  }

  exceeds(total: number): boolean {
    return total > this.limit * ROUNDING;
  }

  look(index: number, colours: Float64Array, at: number): void {
    const { query, angles } = this;
    let total = 0;
    for (let i = 0, q = 0, k = at; i < angles; i++, q += 4, k += 4)
      total = this.add(total, this.compare(ciede2000Bound, query, q, colours, k));
    if (this.exceeds(total) || (this.accept && !this.accept(index))) return;
    total = 0;
    for (let i = 0, q = 0, k = at; i < angles && !this.exceeds(total); i++, q += 4, k += 4)
      total = this.add(total, this.compare(ciede2000, query, q, colours, k));
    this.keep(index, total);
  }

  private compare(formula: typeof ciede2000, p: Float64Array, i: number, q: Float64Array, k: number): number {
    return formula(p[i]!, p[i + 1]!, p[i + 2]!, p[i + 3]!, q[k]!, q[k + 1]!, q[k + 2]!, q[k + 3]!);
  }

  private keep(index: number, total: number): void {
    if (total > this.limit) return;
    const difference = total / this.divisor;
    let place = this.best.length;
    while (place > 0 && after(this.best[place - 1]!, difference, index)) place--;
    if (place >= this.count) return;
    this.best.splice(place, 0, { index, difference });
    if (this.best.length > this.count) this.best.pop();
    // A reading exactly as far as the last may still precede it by its index, so the limit itself is not excluded.
    if (this.best.length === this.count) this.limit = this.best[this.count - 1]!.difference * this.divisor * ROUNDING;
  }

  found(): Found[] {
    return this.best;
  }
}

function after(found: Found, difference: number, index: number): boolean {
  return found.difference > difference || (found.difference === difference && found.index > index);
}

/** Reorders order[from..to] so that the reading at `nth` is the one a sort by the coordinate would put there (Hoare 1961). */
function selectNth(
  order: Int32Array,
  values: Float64Array,
  stride: number,
  axis: number,
  from: number,
  to: number,
  nth: number,
): void {
  const key = (place: number) => values[order[place]! * stride + axis]!;
  while (from < to) {
    const pivot = key((from + to) >> 1);
    let low = from;
    let high = to;
    while (low <= high) {
      while (key(low) < pivot) low++;
      while (key(high) > pivot) high--;
      if (low > high) break;
      const swapped = order[low]!;
      order[low++] = order[high]!;
      order[high--] = swapped;
    }
    if (nth <= high) to = high;
    else if (nth >= low) from = low;
    else return;
  }
}
