import type { NeckState, Origin } from "./reading.js";

/** The parts of a neck's state, as the CSV columns name them. */
export type StateKey = "rod" | "strings" | "support" | "hoursSinceGlue" | "humidity" | "temperature" | "fretState";

/** The columns of the state in a CSV. */
export const STATE_KEYS: readonly StateKey[] = ["rod", "strings", "support", "hoursSinceGlue", "humidity", "temperature", "fretState"];

/** One stated part of the state, its value as understood, and where it was written. */
export type StateEntry = { readonly key: StateKey; readonly value: string | number; readonly written: string; readonly origin: Origin };

/** A state value, or what was expected. */
export type StateReading = { readonly value: string | number } | { readonly expected: string };

const LONGEST_WORDS = 200;

/** Reads one part of the state: words for rod, strings, support and frets; a number with or without its unit for the others. */
export function readStateValue(key: StateKey, written: string): StateReading {
  const text = written.trim();
  if (key === "humidity") return amount(text, /^([\d.,]+)\s*(?:%|per cent|%\s*rh|rh)?$/i, 0, 100, "a relative humidity from 0 to 100 %, as 45 %");
  if (key === "temperature") return temperature(text);
  if (key === "hoursSinceGlue") return hours(text);
  return text.length <= LONGEST_WORDS ? { value: text } : { expected: `up to ${LONGEST_WORDS} letters` };
}

function amount(text: string, form: RegExp, least: number, most: number, expected: string): StateReading {
  const value = decimal(form.exec(text)?.[1]);
  return value !== undefined && value >= least && value <= most ? { value } : { expected };
}

function decimal(text: string | undefined): number | undefined {
  return text !== undefined && /^-?\d+(?:[.,]\d*)?$/.test(text) ? Number(text.replace(",", ".")) : undefined;
}

function temperature(text: string): StateReading {
  const match = /^(-?[\d.,]+)\s*°?\s*([CF])?$/i.exec(text);
  const value = decimal(match?.[1]);
  const celsius = value === undefined ? undefined : match?.[2]?.toUpperCase() === "F" ? ((value - 32) * 5) / 9 : value;
  return celsius !== undefined && celsius >= -20 && celsius <= 60 ? { value: celsius } : { expected: "a temperature from -20 to 60 °C, as 20 C or 68 F" };
}

function hours(text: string): StateReading {
  const match = /^([\d.,]+)\s*(h|hours?|d|days?|min|minutes?)?$/i.exec(text);
  const value = decimal(match?.[1]);
  const unit = match?.[2]?.toLowerCase() ?? "h";
  const perUnit = unit.startsWith("d") ? 24 : unit.startsWith("m") ? 1 / 60 : 1;
  return value !== undefined && value * perUnit <= 100_000 ? { value: value * perUnit } : { expected: "hours since the glue-up, as 24, 24 h or 2 days" };
}

/** The state of the neck from its entries; where a part was stated twice the first one stands. */
export function stateOf(entries: readonly StateEntry[]): NeckState {
  const words = (key: StateKey): string | undefined => {
    const value = entries.find((entry) => entry.key === key)?.value;
    return typeof value === "string" ? value : undefined;
  };
  const number = (key: StateKey): number | undefined => {
    const value = entries.find((entry) => entry.key === key)?.value;
    return typeof value === "number" ? value : undefined;
  };
  const rod = words("rod");
  const strings = words("strings");
  const support = words("support");
  const hoursSinceGlue = number("hoursSinceGlue");
  const humidityPercent = number("humidity");
  const temperatureC = number("temperature");
  const fretState = words("fretState");
  return {
    ...(rod === undefined ? {} : { rod }),
    ...(strings === undefined ? {} : { strings }),
    ...(support === undefined ? {} : { support }),
    ...(hoursSinceGlue === undefined ? {} : { hoursSinceGlue }),
    ...(humidityPercent === undefined ? {} : { humidityPercent }),
    ...(temperatureC === undefined ? {} : { temperatureC }),
    ...(fretState === undefined ? {} : { fretState }),
  };
}

/** What is taken for granted where the user stated nothing. */
export function assumedState(state: NeckState): readonly string[] {
  const unread = [
    state.hoursSinceGlue === undefined ? "hours since glue" : "",
    state.humidityPercent === undefined ? "humidity" : "",
    state.temperatureC === undefined ? "temperature" : "",
  ].filter((part) => part !== "");
  return [
    ...(state.rod === undefined ? ["rod: not stated, taken as neutral"] : []),
    ...(state.strings === undefined ? ["strings: not stated, taken as off"] : []),
    ...(state.support === undefined ? ["support: not stated, taken as on its back on blocks"] : []),
    ...(state.fretState === undefined ? ["frets: not stated, taken as pressed in and not levelled"] : []),
    ...(unread.length === 0 ? [] : [`${unread.join(", ")}: not stated, nothing is corrected for ${unread.length === 1 ? "it" : "them"}`]),
  ];
}

/** Whether the words of stage, support and frets say that the board is not yet on the neck. */
export function isFreeBoard(stage: string, state: NeckState): boolean {
  return /\b(not (yet )?glued|unglued|un-glued|free board|loose board|before glu(e|ing))/i.test([stage, state.support ?? "", state.fretState ?? ""].join("; "));
}
