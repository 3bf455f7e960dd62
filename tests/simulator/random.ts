/** A seeded source of numbers in [0, 1): the same seed gives the same film on every machine. */
export type Random = () => number;

/**
 * xoshiro128** (Blackman and Vigna 2018, public domain), its state filled from `seed` by splitmix32.
 * 32 random bits a call, which is ample beside the noise of a ray count.
 */
export function randomFrom(seed: number): Random {
  const state = new Uint32Array(4);
  let mixer = seed >>> 0;
  for (let i = 0; i < 4; i++) {
    mixer = (mixer + 0x9e3779b9) >>> 0;
    let word = mixer;
    word = Math.imul(word ^ (word >>> 16), 0x85ebca6b);
    word = Math.imul(word ^ (word >>> 13), 0xc2b2ae35);
    state[i] = word ^ (word >>> 16);
  }
  return () => {
    const s1 = state[1]!;
    const product = Math.imul(s1, 5);
    const result = Math.imul((product << 7) | (product >>> 25), 9) >>> 0;
    state[2]! ^= state[0]!;
    state[3]! ^= s1;
    state[1] = s1 ^ state[2]!;
    state[0]! ^= state[3]!;
    state[2]! ^= s1 << 9;
    state[3] = (state[3]! << 11) | (state[3]! >>> 21);
    return result / 4294967296;
  };
}

/** One value of the normal distribution with mean 0 and standard deviation 1 (Box and Muller 1958). */
export function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}
