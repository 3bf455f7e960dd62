/** When a formula is put right with a toner that it does not have yet. */

/** Share of the paint from which the search for its parts begins. */
export const TRACE = 0.002;
/** dE00 that a further toner has to bring: it is one more to weigh, and one more that can be wrong. */
export const WORTH_A_TONER = 0.3;
