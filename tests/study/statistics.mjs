/** What a study reports: shares with confidence limits, and how far numbers lie from the truth. */

const NORMAL_95 = 1.959963984540054;

/**
 * A share over necks, with 95 % limits. What is counted within one neck hangs together (one edge, one line), so the limits are Wilson's
 * with the number of counts divided by their design effect: the variance of the share between necks over that of independent counts.
 * @param {readonly {hits: number, of: number}[]} necks one entry a neck
 * @source E. B. Wilson 1927; design effect as in cluster sampling (both from memory)
 */
export function shareOf(necks) {
  const counted = necks.filter((neck) => neck.of > 0);
  const hits = sum(counted.map((neck) => neck.hits));
  const of = sum(counted.map((neck) => neck.of));
  if (of === 0) return { share: null, low: null, high: null, hits, of };
  const share = hits / of;
  const binomial = (share * (1 - share)) / of;
  const between = (counted.length / Math.max(1, counted.length - 1)) * sum(counted.map((neck) => (neck.hits - share * neck.of) ** 2)) / of ** 2;
  const effect = designEffect({ binomial, between, of, necks: counted.length });
  return { share, ...wilson(share, of / effect), hits, of };
}

/** One count a neck is plainly binomial. Where all or none are hits the necks tell nothing of how their counts hang together: each neck then counts once. */
function designEffect({ binomial, between, of, necks }) {
  if (of === necks) return 1;
  return binomial > 0 ? Math.max(1, between / binomial) : of / necks;
}

function wilson(share, n) {
  const z2 = NORMAL_95 ** 2;
  const middle = (share + z2 / (2 * n)) / (1 + z2 / n);
  const half = (NORMAL_95 / (1 + z2 / n)) * Math.sqrt((share * (1 - share)) / n + z2 / (4 * n * n));
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/** Errors in mm: how many, mean (bias) with its standard error, root mean square. */
export function errorsOf(errors) {
  if (errors.length === 0) return { count: 0, biasMm: null, biasSeMm: null, rmseMm: null };
  const biasMm = sum(errors) / errors.length;
  const variance = sum(errors.map((error) => (error - biasMm) ** 2)) / Math.max(1, errors.length - 1);
  return { count: errors.length, biasMm, biasSeMm: Math.sqrt(variance / errors.length), rmseMm: Math.sqrt(sum(errors.map((error) => error * error)) / errors.length) };
}

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? null : sorted[Math.floor(sorted.length / 2)];
}

export function sum(values) {
  return values.reduce((total, value) => total + value, 0);
}
