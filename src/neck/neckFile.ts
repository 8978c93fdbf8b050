import type { Outcome, Problem } from "../units/problem.js";
import { DEFAULT_LINES, DEFAULT_RADIUS_MM, defaultWidthMm, mmAndInWords } from "./defaults.js";
import type { FretSlots, FretTangs, Neck, NeckBar, NeckLine, NeckString, ShopLimits, SizeAt, StringSet, TrussRod } from "./neck.js";
import { contradictions, placeMm, radiusOf } from "./neckChecks.js";
import { checkedNeckFile, type NeckFile, type Sizes } from "./neckSchema.js";
import { repeatedKeys, type RepeatedKey } from "./repeatedKeys.js";
import { shown } from "./shown.js";

/**
 * Reads a neck file: what a neck is, checked against a closed schema; lengths are numbers in mm or text with a unit.
 * @param input JSON text, or the object it stands for
 * @param source the file's name for messages
 * @returns the neck, with every default that was used in `assumed`; or every problem of the file at once, each with the path of its key
 * @example equal(readNeck({ name: "first", scaleLength: "25 in", frets: 22 }).status, "read");
 * @example equal(readNeck({ name: "first", scaleLength: 25, frets: 22 }).status, "refused");
 */
export function readNeck(input: unknown, source = "neck"): Outcome<Neck> {
  const parsed = typeof input === "string" ? parsedJson(input, source) : { json: input, repeated: [] };
  if ("problem" in parsed) return { status: "refused", problems: [parsed.problem] };
  if (Array.isArray(parsed.json)) return refusedFor([{ source, found: shown(parsed.json), expected: "one neck, an object in braces { }", repair: "write one neck a file" }], source);
  const twice = parsed.repeated.map((key): Problem => ({ source, row: key.row, column: key.path, found: "the key a second time", expected: "each key once", repair: "take one of the two out" }));
  const checked = checkedNeckFile(parsed.json, source);
  if ("problems" in checked) return refusedFor([...twice, ...checked.problems], source);
  const [first, ...others] = [...twice, ...contradictions(checked.file, source)];
  return first === undefined ? { status: "read", value: neckOf(checked.file) } : { status: "refused", problems: [first, ...others] };
}

function refusedFor(problems: readonly Problem[], source: string): Outcome<Neck> {
  const [first = { source, found: "something unreadable", expected: "a neck" }, ...others] = problems;
  return { status: "refused", problems: [first, ...others] };
}

function parsedJson(text: string, source: string): { readonly json: unknown; readonly repeated: readonly RepeatedKey[] } | { readonly problem: Problem } {
  const plain = text.replace(/^\uFEFF/, "");
  if (plain.trim() === "") return { problem: { source, found: "an empty file", expected: 'a neck as JSON, at least {"name": "…", "scaleLength": "25.5 in", "frets": 22}' } };
  try {
    const json: unknown = JSON.parse(plain);
    return { json, repeated: repeatedKeys(plain) };
  } catch (error) {
    return { problem: notJson(plain, error, source) };
  }
}

function notJson(text: string, error: unknown, source: string): Problem {
  const said = error instanceof Error ? error.message : String(error);
  const position = /position (\d+)/.exec(said)?.[1];
  const at = position === undefined ? text.length : Number(position);
  const before = text.slice(0, at);
  const near = text.slice(at, at + 20).split("\n")[0] ?? "";
  return {
    source,
    row: before.split("\n").length,
    found: near.trim() === "" ? "the end of the file or line" : shown(near),
    expected: "JSON: keys and text between double quotes, a comma between entries and none after the last, a decimal point in numbers",
    repair: /,\s*$/.test(before) ? "take out the comma before it" : "look just before it",
  };
}

function neckOf(file: NeckFile): Neck {
  const widthMm = file.widths ?? defaultWidthMm(file.scaleLength);
  return {
    name: file.name,
    scaleLengthMm: file.scaleLength,
    frets: file.frets,
    zeroFret: file.zeroFret ?? false,
    ...named("bodyJoint", file.bodyJoint),
    fingerboardRadiusMm: radiusOf(file),
    widthMm,
    lines: linesOf(file, widthMm),
    ...named("thickness", file.thicknesses && { board: sizesAt(file.thicknesses.board, file), total: sizesAt(file.thicknesses.total, file) }),
    ...named("backShape", file.backShape),
    ...named("bars", file.bars?.map(barOf)),
    ...named("woods", file.woods),
    ...named("slots", file.slots && slotsOf(file.slots)),
    ...named("tangs", file.tangs && tangsOf(file.tangs)),
    ...named("crownHeightMm", file.crown?.height),
    ...named("rod", file.rod && rodOf(file.rod)),
    ...named("strings", file.strings && stringsOf(file.strings)),
    ...named("limits", file.limits && limitsOf(file.limits)),
    assumed: assumedOf(file),
  };
}

/** The key with its value, or no key at all where there is no value. */
function named<Key extends string, Value>(key: Key, value: Value | undefined): { readonly [K in Key]?: Value };
// A computed key widens to string; the signature above keeps its name.
function named(key: string, value: unknown): { readonly [name: string]: unknown } {
  return value === undefined ? {} : { [key]: value };
}

function linesOf(file: NeckFile, widthMm: { readonly nut: number; readonly lastFret: number }): readonly [NeckLine, ...NeckLine[]] {
  const middleMm = (widthMm.nut + widthMm.lastFret) / 2;
  const shareOf = (line: NeckLine): number => ("share" in line ? line.share : 0.5 + line.offsetMm / middleMm);
  const lines: NeckLine[] = Object.entries(file.lines ?? {}).map(([name, line]) => ("offset" in line ? { name, offsetMm: line.offset } : { name, share: line.share }));
  const [first, ...others] = lines.sort((a, b) => shareOf(a) - shareOf(b));
  return first === undefined ? DEFAULT_LINES : [first, ...others];
}

function sizesAt(sizes: Sizes | undefined, file: NeckFile): readonly SizeAt[] {
  if (sizes === undefined) return [];
  const byPlace = typeof sizes === "number" ? { nut: sizes, lastFret: sizes } : sizes;
  return Object.entries(byPlace)
    .flatMap(([at, mm]) => {
      const xMm = placeMm(at, file);
      return xMm === undefined ? [] : [{ at, xMm, mm }];
    })
    .sort((a, b) => a.xMm - b.xMm);
}

function barOf(bar: NonNullable<NeckFile["bars"]>[number]): NeckBar {
  return {
    widthMm: bar.width, heightMm: bar.height, depthMm: bar.depth, modulusMPa: bar.modulusMPa,
    ...named("fromMm", bar.from), ...named("toMm", bar.to), ...named("count", bar.count),
  };
}

function slotsOf(slots: NonNullable<NeckFile["slots"]>): FretSlots {
  return { ...named("widthMm", slots.width), ...named("depthMm", slots.depth), ...named("ends", slots.ends) };
}

function tangsOf(tangs: NonNullable<NeckFile["tangs"]>): FretTangs {
  return { ...named("thicknessMm", tangs.thickness), ...named("cutBackMm", tangs.cutBack), ...named("contactDepthMm", tangs.contactDepth) };
}

function rodOf(rod: NonNullable<NeckFile["rod"]>): TrussRod {
  return {
    ...named("works", rod.works), ...named("fromMm", rod.from), ...named("toMm", rod.to), ...named("depthMm", rod.depth),
    ...named("spacingMm", rod.spacing), ...named("leadMmPerTurn", rod.lead), ...named("channelWidthMm", rod.channelWidth),
    ...named("channelDepthMm", rod.channelDepth), ...named("moreRelief", rod.moreRelief), ...named("wrench", rod.wrench),
  };
}

function stringsOf(strings: NonNullable<NeckFile["strings"]>): StringSet {
  return {
    ...named("each", strings.each?.map((each): NeckString => ({
      gaugeMm: each.gauge, wound: each.wound ?? false, ...named("coreMm", each.core), ...named("material", each.material), ...named("note", each.note),
      ...named("frequencyHz", each.frequencyHz), ...named("tensionN", each.tensionN),
    }))),
    ...named("heightAtNutMm", strings.heightAtNut), ...named("heightAtLastFretMm", strings.heightAtLastFret),
    ...named("spreadAtNutMm", strings.spreadAtNut), ...named("spreadAtSaddleMm", strings.spreadAtSaddle),
  };
}

function limitsOf(limits: NonNullable<NeckFile["limits"]>): ShopLimits {
  return {
    ...named("reliefMinMm", limits.reliefMin), ...named("reliefMaxMm", limits.reliefMax), ...named("bareBowMaxMm", limits.bareBowMax), ...named("fretHighMm", limits.fretHigh),
    ...named("crownMinMm", limits.crownMin), ...named("glueUpBowMaxMm", limits.glueUpBowMax), ...named("twistMaxMm", limits.twistMax),
    ...named("levelToleranceMm", limits.levelTolerance), ...named("fallAwayMm", limits.fallAway), ...named("reseatMax", limits.reseatMax),
  };
}

function assumedOf(file: NeckFile): readonly string[] {
  const width = defaultWidthMm(file.scaleLength);
  return [
    ...(file.widths === undefined ? [`width of the board: not given, taken as ${mmAndInWords(width.nut)} at the nut and ${mmAndInWords(width.lastFret)} at the last fret (common practice, no source)`] : []),
    ...(file.fingerboardRadius === undefined ? [`fingerboard radius: not given, taken as ${mmAndInWords(DEFAULT_RADIUS_MM)} (common practice, no source)`] : []),
    ...(file.lines === undefined ? ["lines: not given, taken as bass, centre and treble at 0.1, 0.5 and 0.9 of the width from the bass edge (common practice, no source)"] : []),
    ...(file.zeroFret === undefined ? ["zero fret: not stated, taken as none: fret tops are counted from fret 1 (common practice, no source)"] : []),
    ...unsaidWinding(file),
  ];
}

function unsaidWinding(file: NeckFile): readonly string[] {
  const unsaid = (file.strings?.each ?? []).filter((each) => each.wound === undefined).length;
  return unsaid === 0 ? [] : [`strings: ${unsaid} of them not said to be wound, taken as plain`];
}
