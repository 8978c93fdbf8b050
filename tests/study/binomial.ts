/** Probability of `hits` or fewer among `of` independent trials, each a hit with probability `p`: the binomial distribution function, summed from its terms. */
export function binomialAtMost(hits: number, of: number, p: number): number {
  let logTerm = of * Math.log1p(-p);
  let sum = Math.exp(logTerm);
  for (let k = 1; k <= hits; k += 1) {
    logTerm += Math.log(((of - k + 1) / k) * (p / (1 - p)));
    sum += Math.exp(logTerm);
  }
  return Math.min(1, sum);
}

/** Probability of `hits` or more. */
export function binomialAtLeast(hits: number, of: number, p: number): number {
  return binomialAtMost(of - hits, of, 1 - p);
}
