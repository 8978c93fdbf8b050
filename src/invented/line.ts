import type { Neck, NeckLine } from "../neck/neck.js";

/** @throws {RangeError} a line that the neck does not have */
export function lineNamed(neck: Neck, name: string): NeckLine {
  const line = neck.lines.find((one) => one.name === name);
  if (line === undefined) throw new RangeError(`Cannot find line "${name}": the neck has ${neck.lines.map((one) => one.name).join(", ")}`);
  return line;
}
