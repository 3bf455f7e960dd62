/** One spelling for each uri, so that `file:///c%3A/Book` and `file:///C:/Book` are the same file wherever a uri is a key. */
import { URI } from 'vscode-uri';

export function normalUri(uri: string): string {
  try {
    return URI.parse(uri).toString();
  } catch {
    return uri;
  }
}
