/** Someone asked for something that the book cannot answer; the message says what to ask instead. */
export class Unanswerable extends Error {}
