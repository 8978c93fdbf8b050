import type { UnitOrder } from "../units/words.js";
import type { Clearance } from "./clearanceResult.js";
import { joined } from "./lists.js";

/** The clearances of all lines: one sentence over all, then each line, and last what holds for every line alike. */
export function clearancesWords(clearances: readonly Clearance[], order: UnitOrder): string {
  const told = clearances.map((one) => one.describe(order).split(/(?<=[.]) (?=[A-Z])/));
  const [first = []] = told;
  const alike = told.length < 2 ? [] : first.filter((sentence) => told.every((sentences) => sentences.includes(sentence)));
  const apart = told.map((sentences) => sentences.filter((sentence) => !alike.includes(sentence)).join(" "));
  return [headline(clearances), ...apart, alike.join(" ")].filter((line) => line !== "").join("\n");
}

function headline(clearances: readonly Clearance[]): string {
  const known = clearances.flatMap((one) => (one.status === "determined" ? [one] : []));
  if (known.length === 0) return "Pressed strings: what they clear is not determined.";
  const short = known.filter(({ cures, fretsFirst }) => cures.length > 0 || fretsFirst.length > 0).map(({ line }) => line);
  const near = known.filter(({ cures, fretsFirst, probabilityShort }) => cures.length === 0 && fretsFirst.length === 0 && probabilityShort > 0.05).map(({ line }) => line);
  if (short.length > 0) return `Pressed strings: too little clearance on the ${joined(short)} line${short.length === 1 ? "" : "s"}.`;
  return near.length > 0 ? `Pressed strings: clearance only just as wanted on the ${joined(near)} line${near.length === 1 ? "" : "s"}.` : "Pressed strings: clear of every fret, by as much as is wanted, on every line read.";
}
