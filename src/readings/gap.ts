import { lengthMm, MM_PER_THOU, type LengthUnit } from "../units/length.js";
import { defaultLeaves, nextStackMm, stackOf, type LeafSet, type Stack } from "./leafSet.js";
import type { Gap } from "./reading.js";

/** How written readings are to be understood. */
export type GapContext = {
  /** Unit of a number without one. */
  readonly unit: "thou" | "mm";
  /** The leaves in the user's hand; absent: the usual set for the unit of each number. */
  readonly leaves?: LeafSet;
  /** The tool shows a number that may be below zero (a dial, bars sighted over): without ± this standard uncertainty is taken, mm. */
  readonly shownWithinMm?: number;
};

/** What was seen of a rocker: it does not rock, or it rocks, with the gap under the raised end where a leaf was tried. */
export type RockerMark = { readonly rocks: false } | { readonly rocks: true; readonly gap?: Gap };

/** What one cell says. */
export type WrittenReading =
  | { readonly kind: "gap"; readonly gap: Gap; readonly written: string; readonly used: Used }
  | { readonly kind: "mark"; readonly mark: RockerMark; readonly written: string; readonly used: Used }
  | { readonly kind: "notMeasured" }
  | { readonly kind: "refused"; readonly expected: string; readonly repair?: string };

/** What a reading was understood with, so that defaults can be listed. */
export type Used = { readonly leaves?: LeafSet; /** A number stood without its unit. */ readonly plainNumber: boolean; /** Standard uncertainty that was taken because none was written, mm. */ readonly takenUMm?: number };

type Refusal = Extract<WrittenReading, { readonly kind: "refused" }>;

/** Seen touching: no light; standard uncertainty of what an eye can tell, mm. Common practice, no source. */
export const TOUCH_U_MM = 0.003;

/** What to do about a minus before a gap: to drop it would tell the bow the wrong way round. */
export const MINUS_REPAIR = 'an edge cannot sink into a fret; if the minus says that the middle is high, do not just drop it, which would make a hollow of it: that is back bow, so let the edge balance on the high middle, write "touch" where it rests and read the gaps at both ends';

/** Light shows from about this gap on, mm. Common practice, no source. */
export const LIGHT_MM = 0.002;

const ANY_FORM = "a leaf (4), a stack (10+6), an interval (4..5, <1.5, >40), 0, touch, light, 4.2±0.3, a rocker mark (still, rocks, rocks=2), or - for not measured";
const WORDS: readonly string[] = ["touch", "light", "still", "rocks"];
const DASHES: ReadonlySet<string> = new Set(["", "-", "–", "—", "na", "n/a"]);
const NUMBER = String.raw`(?:\d+(?:[.,]\d*)?|[.,]\d+)`;
const QUANTITY = String.raw`${NUMBER}\s*(?:mm|um|µm|μm|thou|mil|inches|inch|in|")?`;
const MONTH = "(jan|feb|mar|mär|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez)[a-zä]{0,8}";
const PLAIN = new RegExp(`^${QUANTITY}$`, "i");
const NEGATIVE = new RegExp(`^[-−]\\s*${QUANTITY}$`, "i");
const SHOWN = new RegExp(`^([-−+]?)\\s*(${QUANTITY})$`, "i");
const DASHED = new RegExp(`^(${QUANTITY})\\s*[-–/]\\s*(${QUANTITY})$`, "i");
const FRACTION = /^(?:\d+\s+)?\d+\/\d+\s*(?:mm|inches|inch|in|")$/i;
const OTHER_UNIT = new RegExp(`^(${NUMBER})\\s*[a-zA-Z]+$`);
const STACK = new RegExp(`^${QUANTITY}(\\s*\\+\\s*${QUANTITY})+$`, "i");
const INTERVAL = new RegExp(`^(${QUANTITY})\\s*(?:\\.\\.\\.?|…)\\s*(${QUANTITY})$`, "i");
const ONE_SIDED = new RegExp(`^([<>])\\s*(${QUANTITY})$`, "i");
const DIAL = new RegExp(`^([-−+]?)(${QUANTITY})\\s*(?:±|\\+/?-)\\s*(${QUANTITY})$`, "i");
const DAY_MONTH = new RegExp(`^\\d{1,4}[-/. ]+${MONTH}\\.?([-/. ]+\\d{1,4})?$`, "i");
const MONTH_DAY = new RegExp(`^${MONTH}[-/. ]+\\d{1,4}$`, "i");
const LONGEST_CELL = 80;

/**
 * Reads one cell: every written form of a reading.
 * A leaf L goes and the next does not: [L, next leaf]; a stack a+b: [a+b, a + the leaf after b]; a number that is no leaf is the stack of
 * fewest leaves that makes it; `0`: [0, thinnest]; `light`: [0.002 mm, thinnest]; `touch`: 0 with 0.003 mm; an upper end is Infinity where nothing closes it.
 * Under a tool that shows a number, a number alone is that number, with the uncertainty of the context.
 * The ends carry tolerance / sqrt(3) of each leaf (a rectangular distribution, GUM 4.3.7).
 * @param text the cell; blanks round it and before a unit do not count; a comma is a decimal comma
 * @param context unit of plain numbers and the leaves in hand
 * @returns gap or rocker mark in mm, not measured, or what was expected
 * @example equal(readGap("10+6", { unit: "thou" }).kind, "gap");
 * @example equal(readGap("4.7", { unit: "thou" }).kind, "refused");
 */
export function readGap(text: string, context: GapContext): WrittenReading {
  const cell = text.trim();
  const lower = cell.toLowerCase();
  if (DASHES.has(lower)) return { kind: "notMeasured" };
  if (cell.length > LONGEST_CELL) return { kind: "refused", expected: ANY_FORM };
  if (lower === "still") return { kind: "mark", mark: { rocks: false }, written: "still", used: usedSet(context.unit, context) };
  if (lower === "rocks") return { kind: "mark", mark: { rocks: true }, written: "rocks", used: { plainNumber: false } };
  if (lower.startsWith("rocks")) return rocksBy(cell.slice("rocks".length), context);
  return readGapOnly(cell, context);
}

function rocksBy(rest: string, context: GapContext): WrittenReading {
  const amount = /^\s*[=\s]\s*(.+)$/.exec(rest)?.[1];
  if (amount === undefined) return { kind: "refused", expected: "still, rocks, or rocks=2 (a 2 leaf goes under the raised end)", repair: "write rocks=2" };
  const read = readGapOnly(amount, context);
  if (read.kind === "refused" && !NEGATIVE.test(amount)) return read;
  if (read.kind !== "gap" || highestMm(read.gap) <= 0 || isNothing(amount)) {
    return { kind: "refused", expected: "the leaf that goes under the raised end, as rocks=2", repair: "write still if it does not rock, rocks if no leaf was tried" };
  }
  return { kind: "mark", mark: { rocks: true, gap: read.gap }, written: `rocks ${read.written}`, used: read.used };
}

function isNothing(amount: string): boolean {
  return /^(touch|[+-]?0+([.,]0*)?)\s*[a-z"µμ]*$/i.test(amount.trim());
}

function highestMm(gap: Gap): number {
  return gap.kind === "exact" ? gap.gapMm : gap.highMm;
}

function readGapOnly(cell: string, context: GapContext): WrittenReading {
  const lower = cell.toLowerCase();
  if (lower === "touch") return { kind: "gap", gap: { kind: "exact", gapMm: 0, uMm: TOUCH_U_MM }, written: "touch", used: { plainNumber: false } };
  if (lower === "light") return underThinnest(LIGHT_MM, "light", context);
  if (context.shownWithinMm !== undefined && SHOWN.test(cell)) return shownNumber(cell, context.shownWithinMm, context);
  if (PLAIN.test(cell)) return plainValue(cell, context);
  return statedInterval(cell, context) ?? oneSided(cell, context) ?? dial(cell, context) ?? stack(cell, context) ?? notAReading(cell);
}

function notAReading(cell: string): Refusal {
  if (NEGATIVE.test(cell)) return { kind: "refused", expected: "a gap of 0 or more", repair: MINUS_REPAIR };
  if (FRACTION.test(cell)) return aFraction(cell);
  const range = DASHED.exec(cell);
  if (range !== null) return { kind: "refused", expected: ANY_FORM, repair: `write ${(range[1] ?? "").trim()}..${(range[2] ?? "").trim()} for an interval` };
  if (looksLikeDate(cell)) return { kind: "refused", expected: ANY_FORM, repair: "a spreadsheet may have made a date of it: set the column to text and write 3..4" };
  if (/^no\s+(light|gap)$/i.test(cell)) return { kind: "refused", expected: ANY_FORM, repair: "write touch where the edge rests and no light shows" };
  const word = WORDS.find((each) => cell.toLowerCase().startsWith(each.slice(0, 4)));
  if (word !== undefined) return { kind: "refused", expected: ANY_FORM, repair: `write ${word}` };
  const number = OTHER_UNIT.exec(cell)?.[1];
  return { kind: "refused", expected: ANY_FORM, ...(number === undefined ? {} : { repair: `units are mm, um, thou and in: write ${number}thou or ${number}mm` }) };
}

/** A drill's shank or a rule has its size in fractions, and a give or take. */
function aFraction(cell: string): Refusal {
  const unit = /mm$/i.test(cell) ? "mm" : "in";
  const mm = lengthMm(cell.toLowerCase());
  const number = mm === undefined || !Number.isFinite(mm) ? undefined : Number((unit === "mm" ? mm : mm / (1000 * MM_PER_THOU)).toFixed(4));
  const repair = number === undefined ? "write the leaves that go" : `write the leaves that go, or, as a drill's shank or a rule shows it, a decimal number with its ±: ${number}±${unit === "mm" ? 0.02 : 0.001}${unit}`;
  return { kind: "refused", expected: ANY_FORM, repair };
}

/** `3-Apr`, `Apr-03`, `03/04/2026`, `2026-04-03`, `3.4.2026`. */
export function looksLikeDate(cell: string): boolean {
  return (
    /^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}(\s|T|$)/.test(cell) ||
    DAY_MONTH.test(cell) ||
    MONTH_DAY.test(cell)
  );
}

type Amount = { readonly mm: number; readonly unit: LengthUnit; readonly plainNumber: boolean };

function amountOf(text: string, context: GapContext, lastUnit?: LengthUnit): Amount | undefined {
  const own = unitOf(text);
  const unit = own ?? lastUnit ?? context.unit;
  const mm = lengthMm(text, unit);
  return mm === undefined ? undefined : { mm, unit, plainNumber: own === undefined && lastUnit === undefined };
}

function unitOf(text: string): LengthUnit | undefined {
  const suffix = /[a-zµμ"]+$/i.exec(text.trim())?.[0].toLowerCase();
  if (suffix === undefined) return undefined;
  if (suffix === "mm") return "mm";
  if (suffix.endsWith("m")) return "um";
  return suffix === "thou" || suffix === "mil" ? "thou" : "in";
}

function usedSet(unit: LengthUnit, context: GapContext, plainNumber = false): Used {
  return { leaves: context.leaves ?? defaultLeaves(unit), plainNumber };
}

/** As typed; the unit of the table is added where none was typed. */
function withUnit(cell: string, plainNumber: boolean, context: GapContext): string {
  const tidy = cell.trim().replace(/\s+/g, "");
  return plainNumber ? `${tidy} ${context.unit}` : tidy;
}

function endsU(set: LeafSet, leaves: number): number {
  return (set.toleranceMm / Math.sqrt(3)) * Math.sqrt(leaves);
}

function underThinnest(lowMm: number, written: string, context: GapContext, unit: LengthUnit = context.unit, plainNumber = false): WrittenReading {
  const set = context.leaves ?? defaultLeaves(unit);
  const thinnestMm = set.leavesMm[0] ?? 0;
  return { kind: "gap", gap: { kind: "interval", lowMm: Math.min(lowMm, thinnestMm), highMm: thinnestMm, endsUMm: endsU(set, 1) }, written, used: { leaves: set, plainNumber } };
}

function plainValue(cell: string, context: GapContext): WrittenReading {
  const amount = amountOf(cell, context);
  if (amount === undefined) return notAReading(cell);
  if (amount.mm === 0) return underThinnest(0, "0", context, amount.unit);
  const set = context.leaves ?? defaultLeaves(amount.unit);
  const slackMm = !amount.plainNumber && context.leaves !== undefined ? set.toleranceMm : undefined;
  const found = stackOf(set, amount.mm, slackMm);
  if (found === undefined) return noSuchLeaf(amount, set, context);
  return leavesGo(found, set, cell, amount.plainNumber, context);
}

function leavesGo(leaves: Stack, set: LeafSet, cell: string, plainNumber: boolean, context: GapContext): WrittenReading {
  const lowMm = leaves.reduce((sum, leaf) => sum + leaf, 0);
  const gap: Gap = { kind: "interval", lowMm, highMm: nextStackMm(set, leaves), endsUMm: endsU(set, leaves.length) };
  return { kind: "gap", gap, written: withUnit(cell, plainNumber, context), used: { leaves: set, plainNumber } };
}

function noSuchLeaf(amount: Amount, set: LeafSet, context: GapContext): Refusal {
  const thinnestMm = set.leavesMm[0] ?? 0;
  const thickestMm = set.leavesMm.at(-1) ?? 0;
  const isInRange = amount.mm >= thinnestMm && amount.mm <= thickestMm;
  const meant = isInRange || !amount.plainNumber ? [] : otherwiseMeant(amount, context);
  const range = `${marked(thinnestMm, amount.unit)} to ${marked(thickestMm, amount.unit)}`;
  const leaf = inThousandths(amount, set);
  if (meant.length > 0 || leaf !== undefined) {
    const inches = leaf === undefined ? [] : [`${leaf.inches}in, or ${leaf.asLeaf}, if thousandths of an inch were meant`];
    return { kind: "refused", expected: `${[...meant, ...inches].join(", or ")}: ${marked(amount.mm, amount.unit)} is no leaf of the ${set.name} (${range}) nor a stack of up to three of them`, repair: meant.length > 0 || leaf === undefined ? `write the unit after it, or once for all, unit: ${context.unit === "mm" ? "thou" : "mm"} above a table or in the column unit of a CSV` : `write ${leaf.asLeaf}, or ${leaf.inches}in` };
  }
  const nearest = set.leavesMm.slice().sort((a, b) => Math.abs(a - amount.mm) - Math.abs(b - amount.mm)).slice(0, 2).sort((a, b) => a - b).map((mm) => marked(mm, amount.unit));
  return {
    kind: "refused",
    expected: `a leaf of the ${set.name} or a stack of up to three of them (${isInRange ? `nearest leaves ${nearest.join(" and ")}` : `leaves from ${range}`})`,
    repair: amount.mm > thickestMm && !amount.plainNumber ? beyondLeaves(amount) : "write an interval as 4..5, or 4.2±0.3 for a dial or digital reading",
  };
}

/** A plain number that is a leaf of thou written in inches: 0.009 for the 9. */
function inThousandths(amount: Amount, set: LeafSet): { readonly inches: number; readonly asLeaf: string } | undefined {
  if (!amount.plainNumber) return undefined;
  const inches = Number((amount.unit === "mm" ? amount.mm : amount.mm / MM_PER_THOU).toFixed(6));
  const leaves = amount.unit === "mm" ? defaultLeaves("thou") : set;
  const isLeaf = leaves.leavesMm.some((mm) => Math.abs(mm - inches * 1000 * MM_PER_THOU) < 1e-6);
  const thou = Number((inches * 1000).toFixed(4));
  return isLeaf ? { inches, asLeaf: amount.unit === "mm" ? `${thou}thou` : String(thou) } : undefined;
}

/** What leaves do not reach is read with something else, whose give or take must be said. */
function beyondLeaves({ mm, unit }: Amount): string {
  const within = unit === "thou" || unit === "in" ? "±8thou" : "±0.2mm";
  return `leaves do not reach that far: what a rule, a calliper or a drill's shank shows is written with its ±, as ${marked(mm, unit).replace(/[a-z]+$/, "")}${within}`;
}

/** What a number outside the leaves would be in another unit, where that can be read. */
function otherwiseMeant(amount: Amount, context: GapContext): readonly string[] {
  const inMm = context.unit === "mm";
  const number = Number((inMm ? amount.mm : amount.mm / MM_PER_THOU).toFixed(6));
  const ways = inMm ? [[`${number}thou`, "thou were"], [`${Number((number / 100).toFixed(6))}mm`, "hundredths of a mm were"]] as const : [[`${number}mm`, "mm was"]] as const;
  return ways.filter(([written]) => readGapOnly(written, context).kind === "gap").map(([written, meant]) => `${written} if ${meant} meant`);
}

function marked(mm: number, unit: LengthUnit): string {
  return unit === "thou" || unit === "in" ? `${Number((mm / MM_PER_THOU).toFixed(mm < 0.1 * MM_PER_THOU ? 4 : 2))}thou` : `${Number(mm.toFixed(4))}mm`;
}

function stack(cell: string, context: GapContext): WrittenReading | undefined {
  if (!STACK.test(cell)) return undefined;
  const parts = cell.split("+").map((part) => part.trim());
  const lastUnit = unitOf(parts.at(-1) ?? "");
  const amounts = parts.map((part) => amountOf(part, context, lastUnit));
  const unit = amounts[0]?.unit ?? context.unit;
  const set = context.leaves ?? defaultLeaves(unit);
  if (parts.length > 3) return { kind: "refused", expected: "a stack of up to three leaves", repair: "stack thicker leaves" };
  const leaves = amounts.map((amount) => (amount === undefined ? undefined : oneLeaf(set, amount, context)));
  const missing = parts.find((_, index) => leaves[index] === undefined);
  if (missing !== undefined) return { kind: "refused", expected: `leaves of the ${set.name}, which has no ${missing}`, repair: "state your leaves in a line leaves: 1.5 2 3 4 thou" };
  const [first, ...others] = leaves.filter((leaf) => leaf !== undefined).sort((a, b) => b - a);
  if (first === undefined || new Set(leaves).size < leaves.length) return { kind: "refused", expected: "different leaves: a set has one of each", repair: "write the leaves that were stacked" };
  return leavesGo([first, ...others], set, cell, amounts.some((amount) => amount?.plainNumber === true), context);
}

function oneLeaf(set: LeafSet, amount: Amount, context: GapContext): number | undefined {
  const slackMm = !amount.plainNumber && context.leaves !== undefined ? set.toleranceMm : undefined;
  const found = stackOf(set, amount.mm, slackMm);
  return found?.length === 1 ? found[0] : undefined;
}

function statedInterval(cell: string, context: GapContext): WrittenReading | undefined {
  const match = INTERVAL.exec(cell);
  if (match === null) return undefined;
  const high = amountOf(match[2] ?? "", context);
  const low = amountOf(match[1] ?? "", context, unitOf(match[2] ?? ""));
  if (low === undefined || high === undefined || !(low.mm < high.mm)) {
    return { kind: "refused", expected: "an interval from the lower to the higher value, as 4..5", repair: "swap the two, or write one leaf" };
  }
  return intervalOf(low.mm, high.mm, cell, low.plainNumber || high.plainNumber, high.unit, context);
}

function oneSided(cell: string, context: GapContext): WrittenReading | undefined {
  const match = ONE_SIDED.exec(cell);
  const amount = match === null ? undefined : amountOf(match[2] ?? "", context);
  if (match === null || amount === undefined) return undefined;
  if (!(amount.mm > 0)) return { kind: "refused", expected: "a leaf after < or >, as <1.5 or >40", repair: "write 0 where the thinnest leaf does not go" };
  return match[1] === "<"
    ? intervalOf(0, amount.mm, cell, amount.plainNumber, amount.unit, context)
    : intervalOf(amount.mm, Number.POSITIVE_INFINITY, cell, amount.plainNumber, amount.unit, context);
}

function intervalOf(lowMm: number, highMm: number, cell: string, plainNumber: boolean, unit: LengthUnit, context: GapContext): WrittenReading {
  const small = plainNumber && lowMm > 0 ? needsUnit(cell, context, [lowMm, ...(Number.isFinite(highMm) ? [highMm] : [])]) : undefined;
  if (small !== undefined) return small;
  const set = context.leaves ?? defaultLeaves(unit);
  return { kind: "gap", gap: { kind: "interval", lowMm, highMm, endsUMm: endsU(set, 1) }, written: withUnit(cell, plainNumber, context), used: { leaves: set, plainNumber } };
}

/** No hand reads parts of a thou; a number so small without its unit is mm. */
function needsUnit(cell: string, context: GapContext, sizesMm: readonly number[]): Refusal | undefined {
  const thinnestMm = context.leaves?.leavesMm[0] ?? MM_PER_THOU;
  const isSmall = sizesMm.some((mm) => mm > 0) && sizesMm.every((mm) => mm < Math.min(thinnestMm, MM_PER_THOU));
  return context.unit === "thou" && isSmall ? unitWanted(cell.trim()) : undefined;
}

function unitWanted(written: string): Refusal {
  return { kind: "refused", expected: `a unit after ${written}: ${written}mm if mm was meant, ${written}thou if thou was`, repair: "write the unit after it" };
}

/** Finer than this no dial at the bench is to be trusted, mm (own judgement): 0.05 thou. */
const FINEST_MM = 0.05 * MM_PER_THOU;

function dial(cell: string, context: GapContext): WrittenReading | undefined {
  const match = DIAL.exec(cell);
  if (match === null) return undefined;
  const lastUnit = unitOf(match[3] ?? "");
  const value = amountOf(match[2] ?? "", context, lastUnit);
  const u = amountOf(match[3] ?? "", context, lastUnit ?? unitOf(match[2] ?? ""));
  if (value === undefined || u === undefined) return { kind: "refused", expected: "a dial reading with its standard uncertainty, as 4.2±0.3" };
  if (!(u.mm > 0)) return { kind: "refused", expected: "a standard uncertainty above 0 after ±, as 4.2±0.3: no reading is exact", repair: "leave out ± and what follows if you do not know it, or write what the tool is good for" };
  if (value.plainNumber && context.unit === "thou" && u.mm < FINEST_MM) return unitWanted(cell);
  const small = value.plainNumber && value.mm > 0 ? needsUnit(cell, context, [value.mm, 4 * u.mm]) : undefined;
  if (small !== undefined) return small;
  const sign = match[1] === "-" || match[1] === "−" ? -1 : 1;
  return { kind: "gap", gap: { kind: "exact", gapMm: sign * value.mm, uMm: u.mm }, written: withUnit(cell, value.plainNumber, context), used: { plainNumber: value.plainNumber } };
}

/** What a dial or an eye over two bars shows, without ±. */
function shownNumber(cell: string, uMm: number, context: GapContext): WrittenReading {
  const [, sign = "", size = ""] = SHOWN.exec(cell) ?? [];
  const value = amountOf(size, context);
  if (value === undefined) return notAReading(cell);
  const number = size.trim();
  if (value.plainNumber && context.unit === "thou" && value.mm > 0 && value.mm < MM_PER_THOU) return unitWanted(`${sign === "+" ? "" : sign}${number}`);
  const below = sign === "-" || sign === "−";
  return { kind: "gap", gap: { kind: "exact", gapMm: below && value.mm > 0 ? -value.mm : value.mm, uMm }, written: withUnit(cell, value.plainNumber, context), used: { plainNumber: value.plainNumber, takenUMm: uMm } };
}
