/** Advice as plain data: what to do and why, how sure that is, and what to read if it is not sure enough. */
export type Advice<Decision extends string> = {
  readonly decision: Decision;
  /** What to do, and where, in one sentence. */
  readonly headline: string;
  /** Why, one sentence each. */
  readonly reasons: readonly string[];
  /** How probable it is, given the readings and what was assumed, that this is the right one of the decisions; absent where a rule of the bench decides, not a number. */
  readonly probability?: number;
  /** What is said of that in place of `How sure: …`, where it is one thing that is sure and not the whole step. */
  readonly howSure?: string;
  readonly readIfUnsure: readonly string[];
  /** What can hurt people or the neck at this step, and whose word comes first. */
  readonly cautions: readonly string[];
  readonly assumed: readonly string[];
  /** The advice as text, one sentence a line: what, why, how sure, what to read next, cautions. */
  readonly describe: () => string;
};

/** Advice with its text. */
export function advised<Decision extends string, More extends object>(parts: Omit<Advice<Decision>, "describe"> & More): Advice<Decision> & More {
  const lines = [parts.headline, ...parts.reasons, ...(parts.probability === undefined ? [] : [parts.howSure ?? `How sure: ${sureWords(parts.probability)}.`]), ...parts.readIfUnsure, ...parts.cautions];
  return { ...parts, describe: () => lines.join("\n") };
}

/**
 * How sure a decision is, in a builder's words.
 * @param probability of its being right, 0..1
 * @example equal(sureWords(0.97), "almost surely right (more than 19 times in 20)");
 */
export function sureWords(probability: number): string {
  if (probability >= 0.995) return "as good as certain";
  if (probability >= 0.95) return "almost surely right (more than 19 times in 20)";
  if (probability >= 0.8) return `probably right (about ${Math.floor(10 * probability)} times in 10)`;
  return `not sure (right about ${Math.floor(10 * probability)} times in 10)`;
}
