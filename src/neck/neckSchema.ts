import * as v from "valibot";
import { hasUnit, lengthMm } from "../units/length.js";
import type { Problem } from "../units/problem.js";
import { nearestName } from "./nearest.js";
import { shown } from "./shown.js";

/** One size all along, or sizes by place (`nut`, a fret number, `lastFret`, `@300mm`), mm. */
export type Sizes = number | { readonly [place: string]: number };

type WoodEntry = { readonly name: string; readonly modulusMPa?: number; readonly densityKgM3?: number; readonly moisturePercent?: number };

/** The neck file with each key checked, lengths in mm; what depends on more than one key is not checked yet. */
export type NeckFile = {
  readonly name: string;
  readonly scaleLength: number;
  readonly frets: number;
  readonly zeroFret?: boolean;
  readonly bodyJoint?: number;
  readonly fingerboardRadius?: number | { readonly nut: number; readonly lastFret: number };
  readonly lines?: { readonly [name: string]: { readonly share: number } | { readonly offset: number } };
  readonly widths?: { readonly nut: number; readonly lastFret: number };
  readonly thicknesses?: { readonly board?: Sizes; readonly total?: Sizes };
  readonly backShape?: number;
  readonly bars?: readonly { readonly width: number; readonly height: number; readonly depth: number; readonly modulusMPa: number; readonly from?: number; readonly to?: number; readonly count?: number }[];
  readonly woods?: { readonly board?: WoodEntry; readonly neck?: WoodEntry };
  readonly slots?: { readonly width?: number; readonly depth?: number; readonly ends?: "through" | "blind" };
  readonly tangs?: { readonly thickness?: number; readonly cutBack?: number; readonly contactDepth?: number };
  readonly crown?: { readonly height: number };
  readonly rod?: {
    readonly works?: "one way" | "both ways" | "none";
    readonly from?: number; readonly to?: number; readonly depth?: number; readonly spacing?: number; readonly lead?: number;
    readonly channelWidth?: number; readonly channelDepth?: number;
    readonly moreRelief?: "clockwise" | "anticlockwise";
    readonly wrench?: string;
  };
  readonly strings?: {
    readonly each?: readonly { readonly gauge: number; readonly wound?: boolean; readonly core?: number; readonly material?: "steel" | "nickel" | "bronze" | "nylon"; readonly note?: string; readonly frequencyHz?: number; readonly tensionN?: number }[];
    readonly heightAtNut?: number;
    readonly heightAtLastFret?: { readonly bass: number; readonly treble: number };
    readonly spreadAtNut?: number; readonly spreadAtSaddle?: number;
  };
  readonly limits?: {
    readonly reliefMin?: number; readonly reliefMax?: number; readonly bareBowMax?: number; readonly fretHigh?: number; readonly crownMin?: number;
    readonly glueUpBowMax?: number; readonly twistMax?: number; readonly levelTolerance?: number; readonly fallAway?: number; readonly reseatMax?: number;
  };
};

/** Between what a length may lie, mm; outside it the unit is surely wrong. */
type Range = { readonly what: string; readonly minMm: number; readonly maxMm: number; readonly example: string; /** Over this a number without a unit is surely not mm (own judgement). */ readonly plainMaxMm?: number };

/** Expected and repair travel through the schema library in one message, parted by a line break. */
function message(expected: string, repair = ""): string {
  return repair === "" ? expected : `${expected}\n${repair}`;
}

function closed<const Entries extends v.ObjectEntries>(entries: Entries, what: string, example = ""): v.StrictObjectSchema<Entries, (issue: v.StrictObjectIssue) => string> {
  const keys = Object.keys(entries);
  return v.strictObject(entries, (issue) => {
    if (issue.expected === "never") return message(keys.join(", "), UNKNOWN_KEY);
    return issue.expected === "Object" ? message(`${what}: an object with the keys ${keys.join(", ")}`, example) : message(`a key ${issue.expected ?? ""}`, MISSING_KEY);
  });
}

/** Marks, never shown: the repair of these two is worked out from the object they stand in. */
const UNKNOWN_KEY = "unknown key";
const MISSING_KEY = "missing key";

/** Longer text is no length. */
const LONGEST_LENGTH = 60;

function length(range: Range) {
  return v.pipe(
    v.unknown(),
    v.rawTransform<unknown, number>(({ dataset, addIssue, NEVER }) => {
      const written = dataset.value;
      const mm = typeof written === "number" || (typeof written === "string" && written.length <= LONGEST_LENGTH) ? lengthMm(written) : undefined;
      if (mm !== undefined && mm >= range.minMm && mm <= (isPlain(written) ? range.plainMaxMm ?? range.maxMm : range.maxMm)) return mm;
      addIssue({ message: lengthMessage(range, written, mm) });
      return NEVER;
    }),
  );
}

function isPlain(written: unknown): boolean {
  return typeof written === "number" || (typeof written === "string" && !hasUnit(written));
}

function lengthMessage(range: Range, written: unknown, mm: number | undefined): string {
  if (mm === undefined) return message(`${range.what}, a number in mm or text with a unit`, `write ${JSON.stringify(range.example)}`);
  const expected = `${range.what} from ${range.minMm} to ${range.maxMm} mm`;
  if (mm >= range.minMm && mm <= range.maxMm) return message(`${range.what} with its unit`, `a number alone is mm, and ${trimmed(mm)} mm would be much: write "${String(written)} thou" if thou were meant, "${String(written)} mm" if mm`);
  const digits = String(written).slice(0, LONGEST_LENGTH).match(range.minMm < 0 ? /-?[\d.,/ ]*\d/ : /[\d.,/ ]*\d/)?.[0]?.trim() ?? "";
  const meant = [" in", " mm", " cm", " thou"].map((unit) => `${digits}${unit}`).find((candidate) => {
    const guess = lengthMm(candidate);
    return guess !== undefined && guess !== 0 && guess >= range.minMm && guess <= range.maxMm;
  });
  const asRead = `${trimmed(mm)} mm as written`;
  return message(expected, meant === undefined ? `${asRead}; write ${JSON.stringify(range.example)} for example` : `${asRead}; if ${digits} is right, write ${JSON.stringify(meant)}`);
}

function trimmed(mm: number): string {
  return String(Number(mm.toPrecision(6)));
}

function number(what: string, min: number, max: number, repair = "") {
  return v.pipe(
    v.unknown(),
    v.rawTransform<unknown, number>(({ dataset, addIssue, NEVER }) => {
      const value = dataset.value;
      if (typeof value === "number" && value >= min && value <= max) return value;
      addIssue({ message: message(`${what}, a number from ${min} to ${max}`, typeof value === "string" && value.trim() !== "" && Number.isFinite(Number(value)) ? "write it without quotes" : repair) });
      return NEVER;
    }),
  );
}

function whole(what: string, min: number, max: number) {
  return v.pipe(
    v.unknown(),
    v.rawTransform<unknown, number>(({ dataset, addIssue, NEVER }) => {
      const value = dataset.value;
      if (typeof value === "number" && Number.isInteger(value) && value >= min && value <= max) return value;
      const quoted = typeof value === "string" && /^\s*\d+\s*$/.test(value) ? "write it without quotes" : "";
      addIssue({ message: message(`${what}, a whole number from ${min} to ${max}`, quoted) });
      return NEVER;
    }),
  );
}

function text(what: string) {
  const expected = `${what}, text between quotes of 1 to 200 letters`;
  return v.pipe(v.string(expected), v.trim(), v.minLength(1, expected), v.maxLength(200, expected));
}

function oneOf<const Options extends readonly string[]>(what: string, options: Options) {
  return v.picklist(options, (issue) => {
    const near = typeof issue.input === "string" ? nearestName(issue.input, options) : undefined;
    return message(`${what}: ${options.map((option) => JSON.stringify(option)).join(" or ")}`, near === undefined ? "" : `write ${JSON.stringify(near)}`);
  });
}

function yesOrNo(what: string) {
  return v.boolean(`${what}: true or false, without quotes`);
}

const opt = v.exactOptional;

const RADIUS: Range = { what: "a radius across the board", minMm: 30, maxMm: 10000, example: "12 in" };
const WIDTH: Range = { what: "a width of the board", minMm: 20, maxMm: 120, example: "43 mm" };
const BOARD: Range = { what: "a thickness of the board", minMm: 1, maxMm: 15, example: "6 mm" };
const TOTAL: Range = { what: "a thickness of neck and board together", minMm: 8, maxMm: 60, example: "21 mm" };
const ALONG: Range = { what: "a distance from the nut", minMm: -50, maxMm: 1100, example: "15 mm" };

/** `"flat"` is a board without radius: Infinity. */
const radius = v.lazy((input) => (input === "flat" ? v.pipe(v.literal("flat"), v.transform(() => Number.POSITIVE_INFINITY)) : length(RADIUS)));

/** Entries under names of the user's own. The schema library leaves out names that JavaScript gives every object; here they are refused. */
function recordOf<Value extends v.GenericSchema>(value: Value, what: string) {
  return v.pipe(v.custom<unknown>(isPlainRecord, what), v.record(v.string(), value, what));
}

function isPlainRecord(input: unknown): boolean {
  return typeof input === "object" && input !== null && !Array.isArray(input) && !Object.keys(input).some((key) => ["__proto__", "prototype", "constructor"].includes(key));
}

/** One length all along, or lengths by place (`nut`, a fret number, `lastFret`, `@300mm`). */
function sizes(range: Range) {
  return v.lazy((input) => (typeof input === "object" && input !== null && !Array.isArray(input) ? recordOf(length(range), `${range.what} by place`) : length(range)));
}

function nutAndLastFret(range: Range) {
  return closed({ nut: length(range), lastFret: length(range) }, `${range.what} at the nut and at the last fret`);
}

const wood = v.lazy((input) =>
  typeof input === "object" && input !== null
    ? closed(
        {
          name: text("the wood's name"),
          modulusMPa: opt(number("stiffness along the grain in MPa", 2000, 40000, "12 GPa is 12000 MPa")),
          densityKgM3: opt(number("density in kg per cubic metre", 200, 1500)),
          moisturePercent: opt(number("moisture in per cent", 0, 30)),
        },
        "a wood",
      )
    : v.pipe(text("the wood's name"), v.transform((name) => ({ name }))),
);

const line = v.lazy((input) =>
  typeof input === "object" && input !== null && "offset" in input
    ? closed({ offset: length({ what: "a distance from the centre of the board, negative toward the bass side,", minMm: -60, maxMm: 60, example: "-18 mm" }) }, "a line")
    : closed({ share: number("share of the width from the bass edge", 0, 1, "a tenth of the width from the bass edge is 0.1") }, 'a line (or {"offset": "-18 mm"} from the centre)'),
);

const neckString = closed(
  {
    gauge: length({ what: "a string's diameter", minMm: 0.1, maxMm: 5, example: "0.010 in" }),
    wound: opt(yesOrNo("wound")),
    core: opt(length({ what: "a string's core diameter", minMm: 0.1, maxMm: 3, example: "0.016 in" })),
    material: opt(oneOf("what the string, or the wrap of a wound one, is made of", ["steel", "nickel", "bronze", "nylon"])),
    note: opt(v.pipe(text("a note name with its octave"), v.regex(/^[A-Ga-g][#b]?-?\d$/, message("a note name with its octave", 'write "E2"')))),
    frequencyHz: opt(number("pitch in Hz", 10, 2000)),
    tensionN: opt(number("tension in N", 5, 500)),
  },
  "a string",
);

const bar = closed(
  {
    width: length({ what: "a bar's width", minMm: 0.5, maxMm: 20, example: "3 mm" }),
    height: length({ what: "a bar's height", minMm: 0.5, maxMm: 25, example: "9 mm" }),
    depth: length({ what: "the bar's middle below the glue face", minMm: 0, maxMm: 30, example: "6 mm" }),
    modulusMPa: number("the bar's stiffness in MPa", 1000, 500000, "120 GPa is 120000 MPa"),
    from: opt(length(ALONG)),
    to: opt(length(ALONG)),
    count: opt(whole("how many bars lie side by side", 1, 6)),
  },
  "a stiffening bar",
);

const height = (what: string): Range => ({ what, minMm: 0, maxMm: 15, example: "1.8 mm" });

const neckFileSchema = closed(
  {
    name: text("the neck's name"),
    scaleLength: length({ what: "a scale length", minMm: 250, maxMm: 1100, example: "25.5 in" }),
    frets: whole("the number of frets", 2, 36),
    zeroFret: opt(yesOrNo("zero fret")),
    bodyJoint: opt(whole("the fret at which the neck meets the body", 1, 36)),
    fingerboardRadius: opt(v.lazy((input) =>
      typeof input === "object" && input !== null ? closed({ nut: radius, lastFret: radius }, "the radius at the nut and at the last fret") : radius)),
    lines: opt(recordOf(line, 'lines by name, as {"bass": {"share": 0.1}}')),
    widths: opt(nutAndLastFret(WIDTH)),
    thicknesses: opt(closed({ board: opt(sizes(BOARD)), total: opt(sizes(TOTAL)) }, "thicknesses of the board and of neck and board together")),
    backShape: opt(number("the back's shape", 1, 8, "2 is a half ellipse, larger is boxier")),
    bars: opt(v.pipe(v.array(bar, "a list of stiffening bars"), v.maxLength(8, "8 bars or fewer"))),
    woods: opt(closed({ board: opt(wood), neck: opt(wood) }, "woods of board and neck")),
    slots: opt(closed(
      {
        width: opt(length({ what: "a slot width", minMm: 0.2, maxMm: 1.5, example: "0.023 in" })),
        depth: opt(length({ what: "a slot depth", minMm: 0.5, maxMm: 8, example: "2.3 mm" })),
        ends: opt(oneOf("slot ends", ["through", "blind"])),
      },
      "fret slots",
    )),
    tangs: opt(closed(
      {
        thickness: opt(length({ what: "a tang thickness", minMm: 0.2, maxMm: 1.5, example: "0.020 in" })),
        cutBack: opt(length({ what: "how far the tang is cut back from the ends", minMm: 0, maxMm: 15, example: "2 mm" })),
        contactDepth: opt(length({ what: "how deep the tang bears on the slot", minMm: 0.2, maxMm: 8, example: "1.6 mm" })),
      },
      "fret tangs",
    )),
    crown: opt(closed({ height: length({ what: "a crown height", minMm: 0.3, maxMm: 2.5, example: "1.1 mm" }) }, "fret crowns")),
    rod: opt(closed(
      {
        works: opt(oneOf("how the rod works", ["one way", "both ways", "none"])),
        from: opt(length(ALONG)),
        to: opt(length(ALONG)),
        depth: opt(length({ what: "the rod's middle below the glue face", minMm: 0, maxMm: 30, example: "7 mm" })),
        spacing: opt(length({ what: "the distance between the rod's two members", minMm: 1, maxMm: 20, example: "6 mm" })),
        lead: opt(length({ what: "travel per turn of the rod's nut", minMm: 0.2, maxMm: 4, example: "0.8 mm" })),
        channelWidth: opt(length({ what: "the channel's width", minMm: 2, maxMm: 20, example: "6 mm" })),
        channelDepth: opt(length({ what: "the channel's depth", minMm: 2, maxMm: 30, example: "9 mm" })),
        moreRelief: opt(oneOf("which way the nut turns for more relief", ["clockwise", "anticlockwise"])),
        wrench: opt(text("the wrench")),
      },
      "the truss rod",
      'write {"works": "none"} for a neck without one, {"works": "both ways"} or {"works": "one way"} for one with',
    )),
    strings: opt(closed(
      {
        each: opt(v.pipe(v.array(neckString, "a list of strings from bass to treble"), v.minLength(1, "one string or more"), v.maxLength(18, "18 strings or fewer"))),
        heightAtNut: opt(length(height("string height at the nut over the crowns"))),
        heightAtLastFret: opt(closed({ bass: length(height("string height over the last fret")), treble: length(height("string height over the last fret")) }, "string height over the last fret, bass and treble")),
        spreadAtNut: opt(length({ what: "outer strings apart at the nut", minMm: 15, maxMm: 110, example: "35 mm" })),
        spreadAtSaddle: opt(length({ what: "outer strings apart at the saddle", minMm: 20, maxMm: 150, example: "52 mm" })),
      },
      "the strings",
    )),
    limits: opt(closed(
      {
        reliefMin: opt(length({ what: "least relief under strings", minMm: -1, maxMm: 3, plainMaxMm: 1, example: "0.1 mm" })),
        reliefMax: opt(length({ what: "most relief under strings", minMm: -1, maxMm: 3, plainMaxMm: 1, example: "0.3 mm" })),
        bareBowMax: opt(length({ what: "most bow, either way, of a neck that goes out bare", minMm: 0.01, maxMm: 3, plainMaxMm: 1, example: "0.1 mm" })),
        fretHigh: opt(length({ what: "from what height a fret counts as high", minMm: 0.005, maxMm: 0.5, example: "0.03 mm" })),
        crownMin: opt(length({ what: "least crown left after levelling", minMm: 0.2, maxMm: 2.5, example: "0.75 mm" })),
        glueUpBowMax: opt(length({ what: "most bow of a board that may be glued", minMm: 0, maxMm: 30, example: "3 mm" })),
        twistMax: opt(length({ what: "most twist across the width", minMm: 0, maxMm: 5, plainMaxMm: 2, example: "0.3 mm" })),
        levelTolerance: opt(length({ what: "tolerance of levelling", minMm: 0.001, maxMm: 0.2, example: "0.015 mm" })),
        fallAway: opt(length({ what: "fall-away at the last fret", minMm: 0, maxMm: 2, example: "0.2 mm" })),
        reseatMax: opt(whole("the most frets to reseat", 0, 36)),
      },
      "the shop's limits",
    )),
  },
  "a neck",
);

/** The neck file checked key by key, or every problem of its keys. */
export function checkedNeckFile(input: unknown, source: string): { readonly file: NeckFile } | { readonly problems: readonly Problem[] } {
  const result = v.safeParse(neckFileSchema, input);
  return result.success ? { file: result.output } : { problems: result.issues.flatMap((issue) => problemsOf(issue, source)) };
}

function problemsOf(issue: v.BaseIssue<unknown>, source: string): readonly Problem[] {
  const [expected = "", repair = ""] = issue.message.split("\n");
  const path = (issue.path ?? []).map((item) => String(item.key));
  if (repair === UNKNOWN_KEY) return unknownKeys(issue, path.slice(0, -1), expected.split(", "), source);
  const where = path.length === 0 ? {} : { column: path.join(".") };
  if (repair === MISSING_KEY) return [missingKey(issue, path, expected, source)];
  return [{ source, ...where, found: shown(issue.input), expected, ...(repair === "" ? {} : { repair }) }];
}

/** The schema library stops at the first unknown key of an object; a user wants all of them. */
function unknownKeys(issue: v.BaseIssue<unknown>, path: readonly string[], known: readonly string[], source: string): readonly Problem[] {
  const holder = keysOf(issue);
  const absent = known.filter((name) => !holder.includes(name));
  return holder.filter((key) => !known.includes(key)).map((key) => {
    const near = nearestName(key, absent);
    return {
      source,
      column: [...path, key].join("."),
      found: `the key ${shown(key)}, which a neck file does not have here`,
      expected: `one of ${known.join(", ")}`,
      repair: near === undefined ? "take it out" : `write ${JSON.stringify(near)}`,
    };
  });
}

/** The keys of the object in which the issue's key stands, or should stand. */
function keysOf(issue: v.BaseIssue<unknown>): readonly string[] {
  const holder = issue.path?.at(-1)?.input;
  return typeof holder === "object" && holder !== null ? Object.keys(holder) : [];
}

function missingKey(issue: v.BaseIssue<unknown>, path: readonly string[], expected: string, source: string): Problem {
  const key = path.at(-1) ?? "";
  const near = nearestName(key, keysOf(issue));
  return { source, column: path.join("."), found: "nothing", expected, repair: near === undefined ? `add ${JSON.stringify(key)}` : `the key ${JSON.stringify(near)} may be meant for it` };
}
