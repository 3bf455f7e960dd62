/** The nearest of several words by Damerau-Levenshtein distance, for 'did you mean'. Nothing when none is near. */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length < 2) return undefined; // any letter is one slip away from any other
  const wanted = word.toLowerCase();
  let best: string | undefined;
  let bestDistance = Math.floor(Math.max(1, Math.min(3, word.length / 3))) + 0.5;
  for (const candidate of candidates) {
    if (Math.abs(candidate.length - word.length) >= bestDistance) continue;
    const far = distance(wanted, candidate.toLowerCase()) + (candidate.toLowerCase()[0] === wanted[0] ? 0 : 0.25);
    if (far < bestDistance) {
      best = candidate;
      bestDistance = far;
    }
  }
  return best;
}

function distance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const swap =
        i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]
          ? before[j - 2]! + 1
          : Number.POSITIVE_INFINITY;
      row.push(Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1), swap));
    }
    before = above;
    above = row;
  }
  return above[b.length]!;
}
