const INSPECT = Symbol.for("nodejs.util.inspect.custom");

/**
 * Runs what a cell asked for; an error that is meant for the user keeps its sentence and loses its trace.
 * Anything else is a fault of the program: it says so and keeps the trace.
 * @throws {Error} whose printed form in a notebook is the sentence alone
 */
export function plainly<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw error instanceof SyntaxError || error instanceof RangeError ? toldPlainly(error.message) : unexpected(error);
  }
}

/** An error that prints as its sentence alone, wherever a notebook prints it. */
export function toldPlainly(message: string): Error {
  const error = new Error(message);
  error.stack = message;
  Object.defineProperty(error, INSPECT, { value: () => message, enumerable: false });
  return error;
}

function unexpected(error: unknown): unknown {
  if (!(error instanceof Error) || INSPECT in error) return error;
  error.message = `This is a fault of the program, not of your readings; please report it with the lines below. ${error.message}`;
  return error;
}
