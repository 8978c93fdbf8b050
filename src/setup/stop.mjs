/** A reason to stop that is for the user to read: one sentence, no stack. */
export class Stop extends Error {}

/**
 * Ends the process with the sentence of a Stop; anything else is a defect of this program and is shown whole.
 * @param {unknown} error
 */
export function endWith(error) {
  process.stderr.write(`${error instanceof Stop ? error.message : error instanceof Error ? error.stack : String(error)}\n`);
  process.exitCode = 1;
}
