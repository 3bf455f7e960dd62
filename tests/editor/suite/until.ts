/**
 * Asks again until the answer is there: an editor does its work in its own time, and a fixed sleep is either too short
 * or a waste.
 * @param what names what is awaited, for the message of a failure
 * @param probe gives the awaited thing, or something falsy (or an error) while it is not there yet
 */
export async function until<T>(what: string, probe: () => T | PromiseLike<T>, seconds = 15): Promise<NonNullable<T>> {
  const last = Date.now() + seconds * 1000;
  let reason = '';
  for (;;) {
    try {
      const answer = await probe();
      if (answer) return answer;
      reason = '';
    } catch (error) {
      reason = `: ${error instanceof Error ? error.message : String(error)}`;
    }
    if (Date.now() > last) throw new Error(`waited ${seconds} s for ${what}${reason}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
