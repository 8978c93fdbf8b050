import type { NeckState } from "../readings/reading.js";

/** What is said of the states of two surveys: what was the same both times, what differs, and what was not stated. */
export type StatesCompared = { readonly same: readonly string[]; readonly unlike: readonly string[]; /** What differs, as `rod`, in the order of `unlike`. */ readonly differs: readonly string[]; readonly unknown: readonly string[] };

/** Humidity and temperature count as unlike from here on (common practice, no source). */
const HUMIDITY_PERCENT = 5;
const TEMPERATURE_C = 5;

const WORDS = [["rod", "rod"], ["strings", "strings"], ["support", "support"], ["fretState", "frets"]] as const;

/** Compares the states of two surveys, in a builder's words: surveys in unlike states are compared only with that said. */
export function statesCompared(then: NeckState, now: NeckState): StatesCompared {
  const worded = WORDS.map(([key, what]) => ({ what, before: then[key], after: now[key] }));
  const same = worded.flatMap(({ what, before: a, after: b }) => (a !== undefined && b !== undefined && alike(a, b) ? [`${what} ${what === "frets" || what === "strings" ? "were" : "was"} ${b} both times`] : []));
  const unlike = [
    ...worded.flatMap(({ what, before: a, after: b }) => (a !== undefined && b !== undefined && !alike(a, b) ? [{ what, words: `${a} then, ${b} now` }] : [])),
    ...apart("humidity", "%", HUMIDITY_PERCENT, then.humidityPercent, now.humidityPercent), ...apart("temperature", "°C", TEMPERATURE_C, then.temperatureC, now.temperatureC),
  ];
  const unknown = worded.flatMap(({ what, before: a, after: b }) => (a === undefined || b === undefined ? [what] : []));
  return { same, unlike: unlike.map(({ what, words }) => `${what}: ${words}`), differs: unlike.map(({ what }) => what), unknown };
}

function alike(a: string, b: string): boolean {
  const plain = (text: string): string => text.trim().toLowerCase().replace(/\s+/g, " ");
  return plain(a) === plain(b);
}

function apart(what: string, unit: string, least: number, then: number | undefined, now: number | undefined): readonly { readonly what: string; readonly words: string }[] {
  if (then === undefined || now === undefined || Math.abs(now - then) < least) return [];
  return [{ what, words: `${then} ${unit} then, ${now} ${unit} now` }];
}
