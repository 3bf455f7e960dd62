/** The order of keyed things in which two sides may have moved, brought in and taken out some. It is the same whichever side is ours. */

/** The one that is not the base; undefined where both are other than it, and unlike. */
export function threeWay<T>(base: T, ours: T, theirs: T): T | undefined {
  if (ours === theirs || theirs === base) return ours;
  return ours === base ? theirs : undefined;
}

export const orderOf = <T>(row: readonly T[], key: (one: T) => string): string[] => row.map(key);

/**
 * All keys of both sides: those of the base in the order of the side that moved them (where both did, unlike each other, as they were),
 * those that came each behind the key that it follows on its side.
 */
export function combined(base: readonly string[], ours: readonly string[], theirs: readonly string[]): string[] {
  const known = new Set(base);
  const backbone = backboneOf(base, ours, theirs);
  const [a, b] = [comers(known, ours), comers(known, theirs)];
  const order: string[] = [];
  const told = new Set<string>();
  const put = (key: string): void => {
    if (told.has(key)) return;
    told.add(key);
    order.push(key);
  };
  for (const anchor of ['', ...backbone]) {
    if (anchor !== '') put(anchor);
    const groups = [a.get(anchor) ?? [], b.get(anchor) ?? []].filter((group) => group.length > 0);
    for (const group of groups.sort((p, q) => (p.join('\n') < q.join('\n') ? -1 : 1))) group.forEach(put);
  }
  return order;
}

/** What is still there on either side stays in the row, so that what follows it keeps its place. */
function backboneOf(base: readonly string[], ours: readonly string[], theirs: readonly string[]): readonly string[] {
  const [a, b] = [new Set(ours), new Set(theirs)];
  const both = (row: readonly string[], other: ReadonlySet<string>) => row.filter((key) => other.has(key));
  const known = new Set(base);
  const oursMoved = both(base, a).join('\n') !== both(ours, known).join('\n');
  const theirsMoved = both(base, b).join('\n') !== both(theirs, known).join('\n');
  if (oursMoved === theirsMoved) {
    const common = (row: readonly string[]) => row.filter((key) => known.has(key) && a.has(key) && b.has(key));
    return oursMoved && common(ours).join('\n') === common(theirs).join('\n') && ours.length >= base.length
      ? withMissing(both(ours, known), base)
      : base;
  }
  return withMissing(both(oursMoved ? ours : theirs, known), base);
}

/** Keys of the base that the row does not have, each behind the key that it followed. */
function withMissing(row: readonly string[], base: readonly string[]): string[] {
  const here = new Set(row);
  const behind = new Map<string, string[]>();
  let anchor = '';
  for (const key of base) {
    if (here.has(key)) anchor = key;
    else behind.set(anchor, [...(behind.get(anchor) ?? []), key]);
  }
  return ['', ...row].flatMap((key) => [...(key === '' ? [] : [key]), ...(behind.get(key) ?? [])]);
}

/** Keys that came, by the last key of the base before them. */
function comers(known: ReadonlySet<string>, row: readonly string[]): Map<string, string[]> {
  const found = new Map<string, string[]>();
  let anchor = '';
  for (const key of row) {
    if (known.has(key)) anchor = key;
    else found.set(anchor, [...(found.get(anchor) ?? []), key]);
  }
  return found;
}
