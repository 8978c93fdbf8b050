import { nearestName } from "../neck/nearest.js";
import { mmAndInWords } from "../neck/defaults.js";
import { lengthMm } from "../units/length.js";
import { lengthWords, smallWords } from "../units/words.js";
import type { GapContext } from "./gap.js";
import type { Tool } from "./reading.js";

/** What is known of a tool that a user named only. Common practice, no source. */
const USUAL: Readonly<Record<Tool["kind"], Omit<Tool, "name" | "kind">>> = {
  straightedge: { lengthMm: 450, straightnessToleranceMm: 0.02 },
  notched: { lengthMm: 450, straightnessToleranceMm: 0.03 },
  rocker: { lengthMm: 80, straightnessToleranceMm: 0.005 },
  dialBar: { lengthMm: 150, straightnessToleranceMm: 0.01 },
  tautString: { lengthMm: 700, straightnessToleranceMm: 0.005 },
  endBlocks: { lengthMm: 600, straightnessToleranceMm: 0.02, blockHeightMm: 20 },
  sightingBars: { lengthMm: 300, straightnessToleranceMm: 0.1 },
  benchPlate: { lengthMm: 600, straightnessToleranceMm: 0.01 },
  crownGauge: { lengthMm: 30, straightnessToleranceMm: 0.01 },
  radiusGauge: { lengthMm: 60, straightnessToleranceMm: 0.05 },
};

/** In a builder's words: `the edge`. */
const WORDS: Readonly<Record<Tool["kind"], string>> = {
  straightedge: "the edge", notched: "the notched edge", rocker: "the rocker", dialBar: "the dial bar", tautString: "the taut string",
  endBlocks: "the edge on blocks", sightingBars: "the sighting bars", benchPlate: "the bench plate", crownGauge: "the crown gauge", radiusGauge: "the radius gauge",
};

/** Most that can be read under a tool before the unit is surely wrong, mm. */
const MOST_MM: Readonly<Record<Tool["kind"], number>> = {
  straightedge: 5, notched: 5, rocker: 2, dialBar: 5, tautString: 10, endBlocks: 60, sightingBars: 20, benchPlate: 30, crownGauge: 3, radiusGauge: 3,
};

/** The kinds of tool, as the CSV column `tool` names them. */
export const TOOL_KINDS: readonly Tool["kind"][] = ["straightedge", "notched", "rocker", "dialBar", "tautString", "endBlocks", "sightingBars", "benchPlate", "crownGauge", "radiusGauge"];

/**
 * The tool of a kind as common practice has it (no source); lengths in mm.
 * @example near(usualTool("straightedge").lengthMm, 450, { abs: 0 });
 */
export function usualTool(kind: Tool["kind"]): Tool {
  return { name: kind, kind, ...USUAL[kind] };
}

/**
 * The tool in a builder's words; one the user defined goes by the user's name.
 * @example equal(toolWords(usualTool("straightedge")), "the edge");
 */
export function toolWords(tool: Tool): string {
  return tool.name === tool.kind ? WORDS[tool.kind] : `the ${tool.name}`;
}

/** A free board may be bowed by 5 mm and more, and pressed at one end shows twice that at the other. */
const MOST_OF_FREE_BOARD_MM = 15;

/** The most that can be read under the tool, mm; more under an edge along a free board. */
export function mostReadableMm(tool: Tool, isFreeBoard: boolean): number {
  return isFreeBoard && (tool.kind === "straightedge" || tool.kind === "notched") ? MOST_OF_FREE_BOARD_MM : MOST_MM[tool.kind];
}

/** Whether readings of this tool may be below zero: it has feet or arms of its own. */
export function readsBelowZero(tool: Tool): boolean {
  return tool.kind === "dialBar" || tool.kind === "sightingBars";
}

/** What an eye tells over two bars, mm at a bar's end; and what a dial tells. Standard uncertainties, common practice, no source. */
export const SIGHT_MM = 0.1;
const DIAL_MM = 0.01;

/** How a number under a tool that shows one is to be understood where no ± was written; empty for tools that leaves are slid under. */
export function shownBy(tool: Tool): Pick<GapContext, "shownWithinMm"> {
  return readsBelowZero(tool) ? { shownWithinMm: tool.kind === "sightingBars" ? SIGHT_MM : DIAL_MM } : {};
}

/** What was assumed of a tool, in a builder's words. */
export function assumedToolWords(tool: Tool): string {
  const blocks = tool.blockHeightMm === undefined ? "" : ` on blocks ${lengthWords(tool.blockHeightMm)} high`;
  return `${toolWords(tool).replace(/^the /, "")}: size not stated, taken as ${mmAndInWords(tool.lengthMm)} long and straight within ${smallWords(tool.straightnessToleranceMm)}${blocks} (common practice, no source)`;
}

/** The tools a user has: those defined come before the usual ones of the same name. */
export type ToolBox = readonly Tool[];

/** A tool by its name, or what was expected. */
export type ToolReading = { readonly tool: Tool; readonly stated: boolean } | { readonly expected: string; readonly repair?: string };

/** Finds a tool by name; capital letters, blanks and dashes do not count. */
export function toolByName(written: string, box: ToolBox): ToolReading {
  const plain = plainName(written);
  const own = box.find((tool) => plainName(tool.name) === plain);
  if (own !== undefined) return { tool: own, stated: true };
  const kind = TOOL_KINDS.find((name) => plainName(name) === plain) ?? (plain === "edge" ? "straightedge" : undefined);
  if (kind !== undefined) return { tool: usualTool(kind), stated: false };
  const names = [...new Set([...box.map((tool) => tool.name), ...TOOL_KINDS])];
  const near = nearestName(written, names);
  return { expected: `a tool: ${names.join(", ")}`, ...(near === undefined ? {} : { repair: `write ${near}` }) };
}

function plainName(name: string): string {
  return name.toLowerCase().replace(/[\s_-]/g, "");
}

/**
 * Reads what a user states of a tool: `450 mm, straight within 0.02 mm`, `notched, 24 in`, `endBlocks, 600 mm, blocks 25 mm, set down on its side`.
 * @param name the tool's name in tables
 * @param written parts between commas, in any order; what is left out is common practice
 * @param kind of the tool where the text names none
 * @returns the tool, or what was expected
 */
export function readTool(name: string, written: string, kind: Tool["kind"] | undefined): { readonly tool: Tool } | { readonly expected: string; readonly repair?: string } {
  const parts = written.split(/,(?!\d)|;/).map((part) => part.trim()).filter((part) => part !== "");
  const named = parts.map((part) => TOOL_KINDS.find((each) => plainName(each) === plainName(part))).find((each) => each !== undefined) ?? kind;
  if (named === undefined) return { expected: `what kind of tool it is (${TOOL_KINDS.join(", ")}), then its length, as "straightedge, 600 mm, straight within 0.01 mm"` };
  const read = parts.filter((part) => !TOOL_KINDS.some((each) => plainName(each) === plainName(part))).map((part) => partOfTool(part, named, name));
  const wrong = read.find((part) => "expected" in part);
  if (wrong !== undefined && "expected" in wrong) return wrong;
  return { tool: read.reduce<Tool>((tool, part) => ("expected" in part ? tool : { ...tool, ...part }), { ...usualTool(named), name }) };
}

type ToolPart = Partial<Omit<Tool, "name" | "kind">> | { readonly expected: string; readonly repair?: string };

function partOfTool(part: string, kind: Tool["kind"], name: string): ToolPart {
  const within = /^(?:straight\s+)?(?:within|to)\s+(.+)$/i.exec(part)?.[1];
  if (within !== undefined) return ranged("straightnessToleranceMm", within, 0.0005, 1, "how straight it is, as straight within 0.02 mm");
  const blocks = /^blocks?\s+(?:of\s+)?(.+?)(?:\s+high)?$/i.exec(part)?.[1];
  if (blocks !== undefined) return ranged("blockHeightMm", blocks, 1, 100, "the height of the blocks, as blocks 20 mm");
  const noBow = /^(?:hollow|crowned)\b/i.test(part) ? NO_BOW[kind] : undefined;
  if (noBow !== undefined) return { expected: `nothing of hollow or crowned: ${noBow.why}`, repair: noBow.instead };
  const bow = /^(hollow|crowned)\s+(?:by\s+)?(.+?)\s*(?:±|\+\/?-)\s*(.+)$/i.exec(part);
  if (bow !== null) return checkedBow(bow[1] ?? "", bow[2] ?? "", bow[3] ?? "");
  const sag = /^sag\s+(?:of\s+)?(.+)$/i.exec(part)?.[1];
  if (sag !== undefined && kind !== "tautString") return NO_SAG;
  if (sag !== undefined) return ranged("sagMm", sag, 0, 2, "how far the string hangs through in its middle, as sag 0.005 mm");
  const section = /^(steel|aluminium)?\s*section\s+(.+?)\s*(?:x|×|by)\s*(.+)$/i.exec(part);
  if (section !== null && !sagsByItself(kind)) return { expected: "nothing of a section: only an edge sags by its own weight as far as its section lets it", repair: "leave it out" };
  if (section !== null) return sectionOf(section[1] ?? "steel", section[2] ?? "", section[3] ?? "");
  const setDown = /^set down\s+(.+)$/i.exec(part)?.[1];
  if (setDown !== undefined) return { setDown: setDown.slice(0, 200) };
  return lengthPart(part.replace(/\s+long$/i, ""), kind, name);
}

const LENGTHS = { leastMm: 20, mostMm: 2000 } as const;

function lengthPart(written: string, kind: Tool["kind"], name: string): ToolPart {
  const blocks = kind === "endBlocks" ? "; blocks 20 mm" : "";
  const read = ranged("lengthMm", written, LENGTHS.leastMm, LENGTHS.mostMm, `a length from ${LENGTHS.leastMm} to ${LENGTHS.mostMm} mm with its unit, as 450 mm or 18 in; straight within 0.02 mm${blocks}; set down …`);
  const repair = "expected" in read ? lengthRepair(written, kind, name) : undefined;
  return repair === undefined ? read : { ...read, repair };
}

/** Inches without their unit, and the height of blocks where the length should stand. */
function lengthRepair(written: string, kind: Tool["kind"], name: string): string | undefined {
  const inchesMm = /[a-z"]$/i.test(written) ? undefined : lengthMm(`${written} in`);
  if (inchesMm !== undefined && inchesMm >= LENGTHS.leastMm && inchesMm <= LENGTHS.mostMm) return `add the unit: ${written} in`;
  const mm = lengthMm(written);
  if (kind === "endBlocks" && mm !== undefined && mm >= 1) return `if that is the height of the blocks, write ${name}: 450 mm, blocks ${/[a-z"]$/i.test(written) ? written : `${written} mm`}`;
  return undefined;
}

/** Whether a tool hangs or lies over the neck by its own weight, and sags as its section lets it. */
export function sagsByItself(kind: Tool["kind"]): boolean {
  return kind === "straightedge" || kind === "notched" || kind === "endBlocks";
}

const NO_SAG = { expected: "nothing of sag: only a taut string is taken to hang through by what is stated, an edge sags as its section lets it", repair: "state an edge's section, as section 40 x 6 mm, or how far its bow was checked, as hollow 0.004±0.002 mm" } as const;

/** Tools in whose readings a hollow or crowned beam does not show, and what to state instead. */
const NO_BOW: Readonly<Partial<Record<Tool["kind"], { readonly why: string; readonly instead: string }>>> = {
  dialBar: { why: "the form of a dial bar's beam does not show in its readings, only how its dial was set to zero does", instead: "leave it out, set the dial to zero on a true face, and state how far off its zero may be, as straight within 0.01 mm" },
  sightingBars: { why: "the form of sighting bars does not show in the readings, only how unlike the two are does", instead: "leave it out, and state how unlike they may be, as straight within 0.1 mm" },
  crownGauge: { why: "the form of a crown gauge does not show in its readings, only how it was set to zero does", instead: "leave it out, and set the gauge to zero on a true face" },
};

/** Why a stated bow of a tool has no meaning, and what to do, in words; undefined where there is none or it has. */
export function oddBowWords({ kind, bow }: Tool): string | undefined {
  const odd = bow === undefined ? undefined : NO_BOW[kind];
  return odd === undefined ? undefined : `it is stated as hollow or crowned, but ${odd.why}: ${odd.instead}`;
}

/** `hollow 0.004±0.002 mm`: light in the middle against a true face; `crowned` the other way. */
function checkedBow(way: string, value: string, uncertainty: string): ToolPart {
  const unit = /[a-zµμ"]+$/i.exec(uncertainty)?.[0] ?? "";
  const [mm, uMm] = [lengthMm(/[a-zµμ"]$/i.test(value) ? value : `${value} ${unit}`), lengthMm(uncertainty)];
  if (mm === undefined || uMm === undefined || !(mm >= 0 && mm <= 1) || !(uMm > 0 && uMm <= 1)) return { expected: "the edge's checked bow with its standard uncertainty, as hollow 0.004±0.002 mm, or crowned" };
  return { bow: { mm: way.toLowerCase() === "hollow" ? mm : -mm, uMm } };
}

/** `section 40 x 6 mm`, `aluminium section 50 x 10 mm`: the first is the height, which bends. */
function sectionOf(material: string, height: string, thickness: string): ToolPart {
  const unit = /[a-z"]+$/i.exec(thickness)?.[0] ?? "";
  const [heightMm, thicknessMm] = [lengthMm(/[a-z"]$/i.test(height) ? height : `${height} ${unit}`), lengthMm(thickness)];
  if (heightMm === undefined || thicknessMm === undefined || !(heightMm >= 1 && heightMm <= 200) || !(thicknessMm >= 0.5 && thicknessMm <= 100)) return { expected: "height and thickness of the edge, as section 40 x 6 mm, or aluminium section 50 x 10 mm" };
  return { section: { heightMm, thicknessMm, material: material.toLowerCase() === "aluminium" ? "aluminium" : "steel" } };
}

function ranged(field: "straightnessToleranceMm" | "blockHeightMm" | "lengthMm" | "sagMm", written: string, leastMm: number, mostMm: number, expected: string): ToolPart {
  const mm = lengthMm(written.trim());
  return mm !== undefined && mm >= leastMm && mm <= mostMm ? { [field]: mm } : { expected };
}
