/**
 * Shares of neighbouring nodes 0, 1, 2 ... in the value at `place`, by Lagrange's polynomial through them, as ASTM E2022 has it:
 * four nodes inside, three in the first and last interval. Outside the nodes the end node stands for all.
 * @param nodes how many nodes there are, at least 3
 * @param share 4 figures, overwritten: the shares of the node returned and of those after it
 * @returns the first node that has a share
 */
export function lagrangeShares(place: number, nodes: number, share: Float64Array): number {
  share.fill(0);
  const below = Math.floor(place);
  if (place <= 0 || place >= nodes - 1 || place === below) {
    share[0] = 1;
    return Math.min(Math.max(below, 0), nodes - 1);
  }
  const base = below === 0 ? 0 : below - 1;
  const points = below === 0 || below === nodes - 2 ? 3 : 4;
  const t = place - base;
  for (let k = 0; k < points; k++) {
    let product = 1;
    for (let m = 0; m < points; m++) if (m !== k) product *= (t - m) / (k - m);
    share[k] = product;
  }
  return base;
}
