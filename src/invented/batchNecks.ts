import { withBuild } from "./build.js";
import { bentBy, fretsRaised, rodTurned, twistedTo } from "./change.js";
import type { InventedRod } from "./rod.js";
import type { InventedStream } from "./stream.js";
import type { InventedTruth } from "./truth.js";

/** One survey of a neck of the batch: how the neck stands then, and in what state it is read. */
export type BatchSurvey = {
  readonly stage: string;
  readonly date: string;
  readonly rod: string;
  readonly support: string;
  readonly fretState: string;
  readonly hoursSinceGlue?: string;
  /** The neck as it stands at that survey. */
  readonly at: (truth: InventedTruth) => InventedTruth;
  readonly plan: "full" | "every second" | "centre only";
  /** What is read besides the edge along the lines and the rocker. */
  readonly also: "nothing" | "under the crown of fret 5" | "sighting bars";
};

/** One neck of the batch: its file as a builder would write it, what is wrong with it, and its surveys. */
export type BatchNeck = {
  readonly name: string;
  readonly file: Readonly<Record<string, unknown>>;
  /** What was planted, in words; the same is recorded in its truth. */
  readonly planted: string;
  readonly bowMm: number;
  readonly twistMm: number;
  /** The neck with its fault. */
  readonly withFault: (truth: InventedTruth, stream: InventedStream) => InventedTruth;
  /** One reading of the first setting on a line that is written wrong: what was read, and what stands there instead. */
  readonly slip?: { readonly survey: number; readonly line: string; readonly fret: number; readonly read: string; readonly written: string };
  readonly surveys: readonly BatchSurvey[];
};

const same = (truth: InventedTruth): InventedTruth => truth;
const GLUED: BatchSurvey = { stage: "fretted and glued", date: "2026-04-13", rod: "neutral", support: "on its back on blocks", fretState: "pressed", hoursSinceGlue: "72", at: same, plan: "full", also: "nothing" };

/** The rod of the neck that fails its rod test: sold as working both ways, and made so that loosening does nothing. */
export const ONE_WAY_ROD: InventedRod = { fromMm: 15, toMm: 400, perTurnMm: 0.9, deadTurns: 0.1, bothWays: false };

function turned(turns: number, words: string, date: string): BatchSurvey {
  return { ...GLUED, stage: `rod test, ${words}`, date, rod: words, at: (truth) => rodTurned(truth, ONE_WAY_ROD, turns), plan: "centre only" };
}

const ROD_TEST = [
  turned(0, "neutral", "2026-04-14"), turned(0.25, "1/4 turn clockwise from neutral", "2026-04-15"), turned(0.5, "1/2 turn clockwise from neutral", "2026-04-16"),
  turned(0, "back at neutral", "2026-04-17"), turned(-0.25, "1/4 turn anticlockwise from neutral", "2026-04-18"), turned(-0.5, "1/2 turn anticlockwise from neutral", "2026-04-19"),
];

/** The six necks. All of it is made up: the workshop, the necks, their faults and the dates. */
export const BATCH: readonly BatchNeck[] = [
  {
    name: "QUILLFEN-08", planted: "a fretted board, not glued yet, in forward bow (middle low) of 0.9 mm from nut to last fret; its frets are sound",
    file: { scaleLength: "25.5 in", frets: 21, bodyJoint: 16, fingerboardRadius: "9.5 in", widths: { nut: "42 mm", lastFret: "56 mm" } },
    bowMm: 0, twistMm: 0, withFault: (truth) => bentBy(truth, 0.9),
    surveys: [{ stage: "fretted board, not glued", date: "2026-04-07", rod: "none yet", support: "a free board on its side", fretState: "pressed", at: same, plan: "every second", also: "nothing" }],
  },
  {
    name: "QUILLFEN-09", planted: "frets 9 and 10 stand up whole, by 0.08 mm both",
    file: { scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: "43 mm", lastFret: "56 mm" } },
    bowMm: 0.18, twistMm: 0.05, withFault: (truth) => fretsRaised(truth, [9, 10], 0.08), surveys: [GLUED],
  },
  {
    name: "QUILLFEN-10", planted: "a neck with a zero fret; the treble end of fret 5 is lifted by 0.09 mm, with air under its crown",
    file: { scaleLength: "24.75 in", frets: 22, zeroFret: true, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: "43 mm", lastFret: "57 mm" } },
    bowMm: 0.2, twistMm: -0.05, withFault: liftedEnd, surveys: [{ ...GLUED, also: "under the crown of fret 5" }],
  },
  {
    name: "QUILLFEN-11", planted: "the rod, sold as working both ways, bends toward back bow (middle high) by 0.9 mm a turn when tightened, after a tenth of a turn of play, and does nothing the other way",
    file: { scaleLength: "25 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", widths: { nut: "43 mm", lastFret: "56 mm" }, rod: { works: "both ways", from: "15 mm", to: "400 mm", moreRelief: "anticlockwise", wrench: "4 mm hex" } },
    bowMm: 0.22, twistMm: 0, withFault: same, surveys: ROD_TEST,
  },
  {
    name: "QUILLFEN-12", planted: "a sound neck; in its sheet the gap at fret 11 in the first setting on the centre line was read as 6 thou and is written 16",
    file: { scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: { nut: "10 in", lastFret: "16 in" }, widths: { nut: "43 mm", lastFret: "57 mm" } },
    bowMm: 0.2, twistMm: 0.05, withFault: same, slip: { survey: 0, line: "centre", fret: 11, read: "6", written: "16" }, surveys: [GLUED],
  },
  {
    name: "QUILLFEN-13", planted: "twisted: the treble edge climbs 0.8 mm over the bass edge from nut to last fret",
    file: { scaleLength: "25 in", frets: 24, bodyJoint: 16, fingerboardRadius: "16 in", widths: { nut: "43 mm", lastFret: "58 mm" } },
    bowMm: 0.15, twistMm: 0, withFault: (truth) => twistedTo(truth, 0.8), surveys: [{ ...GLUED, also: "sighting bars" }],
  },
];

function liftedEnd(truth: InventedTruth, stream: InventedStream): InventedTruth {
  const lifted = { ...truth, seating: truth.seating.map((seat) => (seat.fret === 5 ? { ...seat, wholeMm: 0, trebleEndMm: 0.09, farOut: "lifted end" as const } : seat)) };
  const built = withBuild(lifted, stream);
  return built.build === undefined ? built : { ...built, build: { ...built.build, unseated: [5] } };
}
