/**
 * A 32-bit number that names a text (FNV-1a): the same text gives the same number. No protection against malice.
 * @source G. Fowler, L. C. Noll, K.-P. Vo, FNV hash, offset basis and prime for 32 bits
 */
export function checksum(text: string): number {
  return [...new TextEncoder().encode(text)].reduce((hash, byte) => Math.imul(hash ^ byte, 0x01000193) >>> 0, 0x811c9dc5);
}
