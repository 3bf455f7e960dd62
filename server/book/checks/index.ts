/** Every check of the book. To add one: a file of its own, its line here, its tests beside the others. */
import type { Check } from './check.ts';
import { nameUnknown } from './name-unknown.ts';

export const checks: readonly Check[] = [nameUnknown];
