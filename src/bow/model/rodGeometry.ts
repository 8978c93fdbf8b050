import type { TrussRod } from "../../neck/neck.js";
import { lengthWords } from "../../units/words.js";

/** A rod as the beam sees it; sizes in mm, stiffness of a member in N. */
export type RodGeometry = {
  readonly works: "one way" | "both ways";
  readonly fromMm: number;
  readonly toMm: number;
  /** Middle of the rod below the glue line. */
  readonly depthMm: number;
  /** Distance between the members of a rod that works both ways. */
  readonly spacingMm: number;
  readonly leadMmPerTurn: number;
  /** EA of one member. */
  readonly memberN: number;
  readonly assumed: readonly string[];
};

/** Common practice, no source: a steel member of 5 mm, M5 thread (pitch 0.8 mm, ISO 261). */
const MEMBER_N = 200_000 * (Math.PI / 4) * 25;
const COMMON = { fromMm: 10, depthOneWayMm: 9, depthBothWaysMm: 6, spacingMm: 6, leadMmPerTurn: 0.8 } as const;

/** The rod with its defaults filled in; undefined where the neck has none, or nothing says how it works. */
export function rodGeometry(rod: TrussRod | undefined, jointMm: number): RodGeometry | undefined {
  if (rod?.works === undefined || rod.works === "none") return undefined;
  const oneWay = rod.works === "one way";
  const depthMm = rod.depthMm ?? (oneWay ? COMMON.depthOneWayMm : COMMON.depthBothWaysMm);
  const missing = [
    ...(rod.fromMm === undefined || rod.toMm === undefined ? [`ends: from ${lengthWords(rod.fromMm ?? COMMON.fromMm)} behind the nut to ${rod.toMm === undefined ? "the body joint" : lengthWords(rod.toMm)}`] : []),
    ...(oneWay && rod.depthMm === undefined ? [`middle ${lengthWords(depthMm)} below the glue face`] : []),
    ...(!oneWay && rod.spacingMm === undefined ? [`members ${lengthWords(COMMON.spacingMm)} apart`] : []),
    ...(rod.leadMmPerTurn === undefined ? [`travel ${lengthWords(COMMON.leadMmPerTurn)} a turn`] : []),
    "steel members of 5 mm",
  ];
  return {
    works: rod.works, fromMm: Math.max(0, rod.fromMm ?? COMMON.fromMm), toMm: rod.toMm ?? jointMm, depthMm,
    spacingMm: rod.spacingMm ?? COMMON.spacingMm, leadMmPerTurn: rod.leadMmPerTurn ?? COMMON.leadMmPerTurn, memberN: MEMBER_N,
    assumed: [`truss rod, taken as (common practice, no source): ${missing.join("; ")}`],
  };
}
