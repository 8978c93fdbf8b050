import { MM_PER_THOU } from "./length.js";
import type { Measured } from "./measured.js";

/** Which unit comes first in print; the other follows in brackets. */
export type UnitOrder = "mm first" | "thou first";

/** `0.18` mm as `0.18 mm (7.1 thou)`; decimals are what a feeler can support: 0.01 mm and 0.1 thou. */
export function lengthWords(mm: number, order: UnitOrder = "mm first"): string {
  return both(`${fixed(mm, 2)} mm`, `${fixed(mm / MM_PER_THOU, 1)} thou`, order);
}

/** A reading that may be below nothing as it is written in a sheet, with its sign in words: `0.30 mm (11.8 thou), written with a minus`. */
export function writtenLengthWords(mm: number, order: UnitOrder = "mm first"): string {
  return `${lengthWords(Math.abs(mm), order)}${mm < 0 ? ", written with a minus" : ""}`;
}

/** A distance along the neck, which nobody reads to a hundredth: `100 mm (3.9 in)`. */
export function distanceWords(mm: number, order: UnitOrder = "mm first"): string {
  return both(`${fixed(mm, 0)} mm`, `${fixed(mm / MM_PER_INCH, 1)} in`, order);
}

const MM_PER_INCH = 1000 * MM_PER_THOU;

/** A length below a hundredth of a millimetre keeps its digits: `0.005 mm (0.2 thou)`. */
export function smallWords(mm: number, order: UnitOrder = "mm first"): string {
  return both(`${Number(mm.toFixed(4))} mm`, `${Number((mm / MM_PER_THOU).toFixed(2))} thou`, order);
}

/**
 * A length with its give or take, in both units: `0.18 mm, give or take 0.02 (7.1 thou, give or take 0.8)`.
 * Give or take is half the 95 % interval: 19 times in 20 the truth lies inside. An interval that lies much more to one side
 * is given by its ends: `0.18 mm, between 0.10 and 0.28 (7.1 thou, between 3.9 and 11.0)`; where these lie on both sides of nothing, `0.04 mm, from 0.09 the other way to 0.13`.
 */
export function measuredWords(measured: Measured, order: UnitOrder = "mm first"): string {
  if (isLopsided(measured)) return both(between(measured, 1, "mm", 2), between(measured, MM_PER_THOU, "thou", 1), order);
  return both(giveOrTake(measured, 1, "mm", 2), giveOrTake(measured, MM_PER_THOU, "thou", 1), order);
}

/**
 * A relief whose interval reaches from the one bow to the other and lies more to one side, each end with its bow; undefined where a give or take tells it.
 * @param relief mm, positive forward bow
 */
export function bothBowsWords(relief: Measured, order: UnitOrder = "mm first"): string | undefined {
  const end = (mm: number): string => `${lengthWords(Math.abs(mm), order)} ${bowWords(mm)}`;
  if (!isLopsided(relief) || relief.low95 > -SEEN_MM || relief.high95 < SEEN_MM) return undefined;
  return `best estimate ${end(relief.value)}, from ${end(relief.low95)} to ${end(relief.high95)}`;
}

/** Less rounds to nothing in print. */
const SEEN_MM = 0.005;

/** Half the width of the 95 % interval, in mm. */
export function giveOrTakeMm(measured: Measured): number {
  return (measured.high95 - measured.low95) / 2;
}

/** The sign of a relief in words; both word and bracket are always printed. Positive relief is forward bow. */
export function bowWords(reliefMm: number): string {
  if (reliefMm > 0) return "forward bow (middle low)";
  return reliefMm < 0 ? "back bow (middle high)" : "straight (neither bow)";
}

function giveOrTake(measured: Measured, mmPerUnit: number, unit: string, decimals: number): string {
  const spread = giveOrTakeMm(measured) / mmPerUnit;
  const smallest = 10 ** -decimals;
  const take = spread > 0 && spread < smallest / 2 ? `under ${smallest}` : fixed(spread, decimals);
  return `${fixed(measured.value / mmPerUnit, decimals)} ${unit}, give or take ${take}`;
}

/** One side of the interval is more than this many times the other. */
const LOPSIDED = 1.4;

function isLopsided({ value, low95, high95 }: Measured): boolean {
  const [down, up] = [value - low95, high95 - value];
  return Math.max(down, up) > LOPSIDED * Math.min(down, up) + 0.01;
}

function between({ value, low95, high95 }: Measured, mmPerUnit: number, unit: string, decimals: number): string {
  const [amount, low, high] = [value, Math.abs(low95), high95].map((mm) => fixed(mm / mmPerUnit, decimals));
  const isBothWays = low95 < 0 && value >= 0 && Number(low) !== 0;
  return isBothWays ? `${amount} ${unit}, from ${low} the other way to ${high}` : `${amount} ${unit}, between ${fixed(low95 / mmPerUnit, decimals)} and ${high}`;
}

/** Fixed decimals without a minus before zero. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function both(mm: string, thou: string, order: UnitOrder): string {
  return order === "mm first" ? `${mm} (${thou})` : `${thou} (${mm})`;
}
