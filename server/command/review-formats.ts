/** How a review is written; only the one that is asked for is loaded. */
import type { Review } from '../review/review.ts';

type Write = (review: Review) => string;

export const FORMATS: Readonly<Record<string, () => Promise<Write>>> = {
  text: async () => (await import('../report/text/review.ts')).reviewText,
  markdown: async () => (await import('../report/markdown/review.ts')).reviewMarkdown,
  html: async () => (await import('../report/html/review.ts')).reviewHtml,
  json: async () => (await import('../report/json/review.ts')).reviewJson,
  sarif: async () => (await import('../report/sarif/review.ts')).reviewSarif,
  junit: async () => (await import('../report/junit/review.ts')).reviewJUnit,
};
