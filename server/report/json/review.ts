/** The stable JSON shape of a review; see DEVELOPERS.md. */
import type { Review } from '../../review/review.ts';

export const reviewJson = (review: Review): string => JSON.stringify(review, null, 2);
