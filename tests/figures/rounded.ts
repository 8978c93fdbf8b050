/** A value with every number in it rounded to three decimals, so that a snapshot does not hang on the last bits. */
export function rounded(value: unknown): unknown {
  if (typeof value === "number") return Number(value.toFixed(3));
  if (Array.isArray(value)) return value.map(rounded);
  if (typeof value === "object" && value !== null) return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, rounded(inner)]));
  return value;
}
