/** A short name for a text, the same on every machine: two runs of FNV-1a (Fowler, Noll, Vo), 64 bits together. */

const PRIME = 0x01000193;
const OFFSETS = [0x811c9dc5, 0x9747b28c] as const;

/** Sixteen hexadecimal digits. No protection against forgery: it tells whether something has changed. */
export function shortHash(text: string): string {
  return OFFSETS.map((offset) => {
    let hash: number = offset;
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), PRIME);
    // FNV leaves its last characters in the low bits; these shifts spread them.
    hash ^= hash >>> 15;
    hash = Math.imul(hash, 0x2c1b3c6d);
    hash ^= hash >>> 13;
    return (hash >>> 0).toString(16).padStart(8, '0');
  }).join('');
}
