/** What a review needs once it is known that there is something to review. */
export { failsOn } from '../review/fail.ts';
export { review } from '../review/review.ts';
export { openVersions } from '../review/versions.ts';
