import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck, NeckLine } from "../neck/neck.js";
import { acrossMm, radiusDropMm, widthMm } from "../neck/surface.js";
import { lineNamed } from "./line.js";
import { rodBendMm, type RodBend } from "./rod.js";

/** A bend of the whole neck between nut and last fret. All in mm; `bowMm` positive is forward bow (middle low) by that much at mid-way. */
export type NeckBend = {
  readonly bowMm: number;
  /** S-shape: highest departure of a cubic that is zero at both ends and at mid-way. Positive: the nut half is low. */
  readonly sShapeMm: number;
  /** Amplitude of one and a half waves. */
  readonly waveMm: number;
};

/** A corner in the neck line. `upMm`: height of the corner over the chord of the line 100 mm before it to 100 mm after it; negative is a dip. */
export type Kink = { readonly where: "body joint" | "rod end"; readonly xMm: number; readonly upMm: number };

/** Neighbouring frets that stand up together, `of` the board under them or of their frets alone. */
export type Zone = { readonly fromFret: number; readonly toFret: number; readonly upMm: number; readonly of: "board" | "frets" };

/** How one fret sits over the board, mm: the whole fret, and what one end of it stands up beyond that. */
export type InventedSeating = {
  readonly fret: number;
  readonly wholeMm: number;
  readonly bassEndMm: number;
  readonly trebleEndMm: number;
  /** What was drawn far out of the scatter: nothing, a high fret (whole or at an end), a lifted end. */
  readonly farOut: "no" | "high" | "high at an end" | "lifted end";
};

/** What lies under the crowns of an invented neck. */
export type InventedBuild = {
  /** Height of the crown of the wire, mm. */
  readonly wireMm: number;
  /** Frets that stand out because they are not pressed home: what they stand out by is air under the crown. The other far-out frets sit on the wood. */
  readonly unseated: readonly number[];
  /** How the bare wood deviates from the smooth line, for each line and midway between each two neighbouring fret tops, mm. */
  readonly woodMm: Readonly<Record<string, readonly number[]>>;
};

export type InventedFamily = "smooth" | "kinksAndZones" | "atTheBench";

/** An invented neck: plain data from which every true height follows exactly. Nothing in it was measured on a real neck. */
export type InventedTruth = {
  readonly family: InventedFamily;
  readonly neck: Neck;
  readonly bend: NeckBend;
  /** What each line bends beyond the neck. */
  readonly lineBends: Readonly<Record<string, NeckBend>>;
  /** Height of the treble edge over the bass edge at the last fret, with none at the nut. */
  readonly twistMm: number;
  readonly kinks: readonly Kink[];
  readonly zones: readonly Zone[];
  /** How far the last fret lies below the line of the neck, falling from the body joint as the square of the distance. */
  readonly fallAwayMm: number;
  readonly seating: readonly InventedSeating[];
  /** What the rod bends beyond that, where a rod was turned (`rodTurned`). */
  readonly rodBends?: readonly RodBend[];
  /** Wood and wire under the crowns, where it was drawn (`withBuild`). */
  readonly build?: InventedBuild;
};

/** The signed extreme of a line's departure from its chord. */
export type TrueRelief = { readonly reliefMm: number; readonly xMm: number };

const KINK_REACH_MM = 100;

/**
 * Height of the smooth neck line (bend, twist, kinks, fall-away, zones of the board) without frets and without the radius, mm.
 * Positive away from the neck's back; the zero is arbitrary, so are the ends' heights.
 * @throws {RangeError} a line that the neck does not have
 */
export function smoothLineMm(truth: InventedTruth, line: string, xMm: number): number {
  const { neck } = truth;
  const lastMm = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  const twist = (truth.twistMm * (shareAcross(neck, lineNamed(neck, line), xMm) - 0.5) * xMm) / lastMm;
  const own = truth.lineBends[line];
  const bends = bendMm(truth.bend, xMm / lastMm) + (own === undefined ? 0 : bendMm(own, xMm / lastMm));
  const rod = (truth.rodBends ?? []).reduce((sum, bend) => sum + rodBendMm(bend, xMm), 0);
  return bends + rod + twist + kinksMm(truth, xMm) - fallAwayMm(truth, xMm) + boardZonesMm(truth, xMm);
}

/**
 * How high a fret stands over the smooth line along a line, mm: seating scatter, high frets, lifted ends, zones of frets.
 * This is the truth behind `highMm`.
 * @throws {RangeError} a line or fret that the neck does not have
 */
export function trueHighMm(truth: InventedTruth, line: string, fret: number): number {
  const seat = truth.seating.find((one) => one.fret === fret);
  if (seat === undefined) throw new RangeError(`Cannot give the seating of fret ${fret}: the neck has fret tops ${fretTops(truth.neck).join(", ")}`);
  const share = shareAcross(truth.neck, lineNamed(truth.neck, line), fretDistanceMm(truth.neck.scaleLengthMm, fret));
  const ends = endWeight(0.5 - share) * seat.bassEndMm + endWeight(share - 0.5) * seat.trebleEndMm;
  const zones = truth.zones.filter((zone) => zone.of === "frets" && fret >= zone.fromFret && fret <= zone.toFret);
  return seat.wholeMm + ends + zones.reduce((sum, zone) => sum + zone.upMm, 0);
}

/**
 * Height of a fret top over the perfect radiused board, mm: smooth line and seating, the geometry of the radius apart.
 * Positive away from the neck's back.
 */
export function trueHeightMm(truth: InventedTruth, line: string, fret: number): number {
  return smoothLineMm(truth, line, fretDistanceMm(truth.neck.scaleLengthMm, fret)) + trueHighMm(truth, line, fret);
}

/** Height of a fret top as a tool along the line meets it, mm: with the drop of the radius, against the crest of the board. */
export function contactHeightMm(truth: InventedTruth, line: string, fret: number): number {
  const xMm = fretDistanceMm(truth.neck.scaleLengthMm, fret);
  return trueHeightMm(truth, line, fret) + radiusDropMm(truth.neck, lineNamed(truth.neck, line), xMm);
}

/**
 * Height of a fret top over the chord of fret tops `fromFret` to `toFret`, mm; the radius apart, as the survey reports heights.
 */
export function trueOverChordMm(truth: InventedTruth, line: string, fret: number, fromFret: number, toFret: number): number {
  const x = (n: number): number => fretDistanceMm(truth.neck.scaleLengthMm, n);
  const share = (x(fret) - x(fromFret)) / (x(toFret) - x(fromFret));
  const chordMm = (1 - share) * trueHeightMm(truth, line, fromFret) + share * trueHeightMm(truth, line, toFret);
  return trueHeightMm(truth, line, fret) - chordMm;
}

/** Chord minus smooth line at `xMm`, the chord drawn from `fromMm` to `toMm`: positive is forward bow (middle low). */
export function departureMm(truth: InventedTruth, line: string, xMm: number, fromMm: number, toMm: number): number {
  const share = (xMm - fromMm) / (toMm - fromMm);
  return (1 - share) * smoothLineMm(truth, line, fromMm) + share * smoothLineMm(truth, line, toMm) - smoothLineMm(truth, line, xMm);
}

/**
 * True relief `neckLine` of a line between two frets: chord minus smooth line where it is farthest from zero.
 * Positive is forward bow (middle low), negative back bow (middle high). Good to 1 nm: a grid of 0.5 mm with all corners in it,
 * then the vertex of the parabola through the three best points.
 */
export function trueReliefMm(truth: InventedTruth, line: string, fromFret: number, toFret: number): TrueRelief {
  const fromMm = fretDistanceMm(truth.neck.scaleLengthMm, fromFret);
  const toMm = fretDistanceMm(truth.neck.scaleLengthMm, toFret);
  const at = (xMm: number): TrueRelief => ({ xMm, reliefMm: departureMm(truth, line, xMm, fromMm, toMm) });
  const steps = Math.ceil((toMm - fromMm) / 0.5);
  const grid = Array.from({ length: steps + 1 }, (_, i) => fromMm + ((toMm - fromMm) * i) / steps);
  const corners = cornersMm(truth).filter((xMm) => xMm > fromMm && xMm < toMm);
  const best = farthest([...grid, ...corners].map(at));
  const vertexMm = parabolaVertex([best.xMm - 0.5, best.xMm, best.xMm + 0.5].map(at));
  return farthest([best, at(Math.min(toMm, Math.max(fromMm, vertexMm)))]);
}

/** Share of the width from the bass edge at which a line runs at `xMm`. */
function shareAcross(neck: Neck, line: NeckLine, xMm: number): number {
  return 0.5 + acrossMm(neck, line, xMm) / widthMm(neck, xMm);
}

/** What stands up at an end is full at a tenth of the width from the edge and nothing at the centre. */
function endWeight(shareFromCentre: number): number {
  return Math.min(1, Math.max(0, shareFromCentre / 0.4));
}

function bendMm(bend: NeckBend, t: number): number {
  const sShape = 6 * Math.sqrt(3) * t * (1 - t) * (1 - 2 * t);
  return -4 * bend.bowMm * t * (1 - t) - bend.sShapeMm * sShape + bend.waveMm * Math.sin(3 * Math.PI * t);
}

function kinksMm(truth: InventedTruth, xMm: number): number {
  return truth.kinks.reduce((sum, kink) => sum - (kink.upMm * Math.abs(xMm - kink.xMm)) / KINK_REACH_MM, 0);
}

function fallAwayMm(truth: InventedTruth, xMm: number): number {
  const { neck } = truth;
  const jointMm = fretDistanceMm(neck.scaleLengthMm, neck.bodyJoint ?? neck.frets);
  const lastMm = fretDistanceMm(neck.scaleLengthMm, neck.frets);
  return xMm <= jointMm || lastMm <= jointMm ? 0 : truth.fallAwayMm * ((xMm - jointMm) / (lastMm - jointMm)) ** 2;
}

/** A raised board is flat under its frets and comes down over one fret spacing on each side. */
function boardZonesMm(truth: InventedTruth, xMm: number): number {
  return truth.zones.filter((zone) => zone.of === "board").reduce((sum, zone) => {
    const [startMm, upMm, downMm, endMm] = zoneCornersMm(truth, zone);
    return sum + zone.upMm * Math.max(0, Math.min(1, (xMm - startMm) / (upMm - startMm), (endMm - xMm) / (endMm - downMm)));
  }, 0);
}

function zoneCornersMm(truth: InventedTruth, zone: Zone): [number, number, number, number] {
  const x = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
  return [x(zone.fromFret - 1), x(zone.fromFret), x(zone.toFret), x(zone.toFret + 1)];
}

function cornersMm(truth: InventedTruth): number[] {
  const zones = truth.zones.filter((zone) => zone.of === "board").flatMap((zone) => zoneCornersMm(truth, zone));
  return [...truth.kinks.map((kink) => kink.xMm), ...zones];
}

function farthest(points: readonly TrueRelief[]): TrueRelief {
  return points.reduce((best, one) => (Math.abs(one.reliefMm) > Math.abs(best.reliefMm) ? one : best), { reliefMm: 0, xMm: points[0]?.xMm ?? 0 });
}

function parabolaVertex(points: readonly TrueRelief[]): number {
  const [before, here, after] = points;
  if (before === undefined || here === undefined || after === undefined) throw new RangeError("Cannot place a vertex: expected three points");
  const bend = before.reliefMm - 2 * here.reliefMm + after.reliefMm;
  return bend === 0 ? here.xMm : here.xMm + (0.5 * (here.xMm - before.xMm) * (before.reliefMm - after.reliefMm)) / bend;
}
