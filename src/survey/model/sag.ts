import type { Tool } from "../../readings/reading.js";
import { sagsByItself, toolWords } from "../../readings/tools.js";
import { MM_PER_THOU } from "../../units/length.js";
import type { PlacedSetting } from "./stations.js";

/** Modulus, MPa, and weight, N/mm3, of the stuff edges are made of (handbook values, from memory: the third digit does not matter here). */
const STUFF: Readonly<Record<"steel" | "aluminium", { readonly modulusMPa: number; readonly weightNPerMm3: number }>> = {
  steel: { modulusMPa: 200_000, weightNPerMm3: 7.85e-6 * 9.81 },
  aluminium: { modulusMPa: 70_000, weightNPerMm3: 2.7e-6 * 9.81 },
};

/** Section of an edge that was not stated (common practice, no source). */
const USUAL_SECTION = { heightMm: 40, thicknessMm: 6, material: "steel" } as const;

/** An unknown sag below this share of the tolerance is not worth a word. */
const WORTH_SHARE = 0.1;

/**
 * Sag of a uniform bar under its own weight on two supports, in multiples of w L^4 / (E I), down from the supports, w its weight per length.
 * @param supportShare distance between the supports as a share of the bar's length, the bar lying in their middle
 * @param at place along the bar from its middle, as a share of its length, -0.5 to 0.5
 * @source beam on two supports with equal overhangs, integrated from its bending moment; checked in tests/published/straightedge-sag.test.ts
 */
export function sagFactor(supportShare: number, at: number): number {
  const s = supportShare;
  const c = (1 - s) / 2;
  const x = Math.abs(at);
  if (x <= s / 2) return (s ** 2 / 4 - x ** 2) * ((5 * s ** 2) / 4 - x ** 2) / 24 - (c ** 2 / 4) * (s ** 2 / 4 - x ** 2);
  const z = x - s / 2;
  return (z ** 2 * (6 * c ** 2 - 4 * c * z + z ** 2)) / 24 - z * (s ** 3 / 24 - (c ** 2 * s) / 4);
}

/** w L^4 / (E I) of an edge standing upright, mm; of common practice where its section was not stated. */
export function sagScaleMm({ section = USUAL_SECTION, lengthMm }: Tool): number {
  const { modulusMPa, weightNPerMm3 } = STUFF[section.material];
  return (12 * weightNPerMm3 * lengthMm ** 4) / (modulusMPa * section.heightMm ** 2);
}

/**
 * How far a tool hangs below its chord at a place along the neck, mm: a taut string by its stated sag, an edge of stated section by its own weight,
 * on the outermost places where it may touch. A neck that is read on its side or edge lets nothing sag toward it.
 */
export function knownSagMm(setting: PlacedSetting, atMm: number): number {
  const { tool, path, middleMm } = setting;
  const at = (atMm - middleMm) / tool.lengthMm;
  if (path.kind === "across" || setting.level === false) return 0;
  if (tool.kind === "tautString") return (tool.sagMm ?? 0) * (1 - 4 * at * at);
  if (tool.section === undefined || !sagsByItself(tool.kind)) return 0;
  return sagScaleMm(tool) * sagFactor(Math.min(1, supportMm(setting) / tool.lengthMm), at);
}

/** Distance between the outermost places where the edge may touch; blocks stand under its ends. */
function supportMm({ tool, readings }: PlacedSetting): number {
  if (tool.kind === "endBlocks") return tool.lengthMm;
  const touched = readings.filter(({ gap }) => (gap.kind === "exact" ? gap.gapMm <= 3 * gap.uMm : gap.lowMm <= 0)).map(({ place }) => place.xMm);
  const xs = touched.length > 1 ? touched : readings.map(({ place }) => place.xMm);
  return Math.max(...xs) - Math.min(...xs);
}

/** What an edge's sag may come to where its section was not stated, in the middle over its whole length, mm; 0 where it is not worth a word. */
function unknownSagMm(tool: Tool): number {
  if (tool.section !== undefined || tool.bow !== undefined || !sagsByItself(tool.kind)) return 0;
  const sagMm = (5 / 384) * sagScaleMm(tool);
  return sagMm < WORTH_SHARE * tool.straightnessToleranceMm ? 0 : sagMm;
}

/** What is assumed of edges whose section was not stated, where it matters, in a builder's words. */
export function assumedSags(tools: readonly Tool[]): readonly string[] {
  return [...new Set(tools.filter((tool) => unknownSagMm(tool) > 0).map((tool) => `sag of ${toolWords(tool)} under its own weight: its section is not stated, so up to about ${lengthWords3(unknownSagMm(tool))} of it stays in the give or take (write "section 40 x 6 mm" after its length)`))];
}

function lengthWords3(mm: number): string {
  return `${mm.toFixed(3)} mm (${(mm / MM_PER_THOU).toFixed(1)} thou)`;
}

/**
 * Standard deviations of an edge's even and odd part as shares of its straightness tolerance. The two share one tolerance zone: an edge that uses it up by its
 * bow has nothing left for an S-shape. All pairs whose sum stays within it count alike, as GUM 4.3.7 takes one bounded quantity; their spreads by quadrature
 * over that region, in tests/survey/edge-spread.test.ts.
 */
const EVEN_SHARE = 0.4628;
const ODD_SHARE = 0.4303;

/** The whole zone is left to the odd part of an edge whose bow was checked: a rectangular distribution (GUM 4.3.7). */
const ODD_SHARE_ALONE = 1 / Math.sqrt(3);

/** Standard uncertainties of a tool's even (bow) and odd part, mm: a check of the bow before the tolerance. */
export function edgeSpread(tool: Tool): { readonly evenMm: number; readonly oddMm: number } {
  const evenMm = tool.bow?.uMm ?? Math.hypot(EVEN_SHARE * tool.straightnessToleranceMm, unknownSagMm(tool));
  const oddShare = tool.bow === undefined ? ODD_SHARE : ODD_SHARE_ALONE;
  return { evenMm: Math.max(LEAST_MM, evenMm), oddMm: Math.max(LEAST_MM, oddShare * tool.straightnessToleranceMm) };
}

const LEAST_MM = 1e-5;
