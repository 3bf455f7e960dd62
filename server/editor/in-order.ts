/** Do the letters stand in the text in this order, capitals or not? */
export function inOrder(letters: string, text: string): boolean {
  const small = text.toLowerCase();
  let at = 0;
  for (const letter of letters.toLowerCase()) {
    at = small.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
