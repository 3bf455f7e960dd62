/** BRK-2 before BRK-10. The engine's own collation tells this too, but takes longer to be loaded than a small review takes. */
export function inNumberOrder(a: string, b: string): number {
  let at = 0;
  while (at < a.length && a[at] === b[at]) at++;
  while (at > 0 && isDigit(a[at - 1])) at--;
  const byNumber =
    isDigit(a[at]) && isDigit(b[at]) ? Number.parseInt(a.slice(at), 10) - Number.parseInt(b.slice(at), 10) : 0;
  return byNumber || (a < b ? -1 : a > b ? 1 : 0);
}

const isDigit = (char: string | undefined): boolean => char !== undefined && char >= '0' && char <= '9';
