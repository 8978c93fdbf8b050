import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import type { Measured } from "../units/measured.js";
import { adjust, surveyOf, unadjusted } from "./adjust.js";
import type { Common } from "./adjust.js";
import { soundSurvey } from "./blunders.js";
import { datumFixed } from "./datumFreedom.js";
import { differenceOf } from "./difference.js";
import type { Difference } from "./difference.js";
import { jointDraws } from "./draws.js";
import { measuredForm, measuredSmooth } from "./functional.js";
import { movedFrets } from "./movedFrets.js";
import { reseatsOf } from "./reseats.js";
import { assumedSags } from "./model/sag.js";
import { usableOf, usableReadings } from "./model/stations.js";
import type { PlacedRocker, PlacedSetting, Usable } from "./model/stations.js";
import type { HeightTerm, Survey } from "./survey.js";
import { determinedForm, isChange } from "./terms.js";
import { unmovedDraws } from "./unmoved.js";

/** Several surveys of one neck in one adjustment: they share the edge, the frets and the board, and differ by how the neck line changed. */
export type Together = {
  /** The surveys as adjusted together, in the order of the sheets. What is asked of one is answered for that survey. */
  readonly surveys: readonly Survey[];
  /** What was taken as changed beside the neck line, in a builder's words. */
  readonly notes: readonly string[];
  /** As in `Survey`, of terms that name their survey (0 where they name none), also over several surveys. */
  readonly determines: (terms: readonly HeightTerm[]) => boolean;
  /**
   * As in `Survey`, of such terms. A neck line may have a corner (a kink, a hinge at the body joint), and what is asked of one survey, or of several together, allows for it. All surveys share that corner,
   * so that it cancels where terms ask for a change: weights that sum to zero over the surveys at every place. Such a combination is answered without corners; that a corner came between two surveys is not counted.
   * @throws {RangeError} as `linear` of `Survey`
   */
  readonly linear: (terms: readonly HeightTerm[]) => Measured;
  /** Joint draws, as in `Survey`; corners are left out, as in `linear`, where all combinations ask for changes. @throws {RangeError} as `linear` */
  readonly draws: (combinations: readonly (readonly HeightTerm[])[], count: number, seed: number) => readonly Float64Array[];
  /**
   * Draws of what the best estimates of combinations would come to by chance alone, had the neck line not changed between two of the surveys: about zero, one array a draw, in their order.
   * The same seed gives the same draws. @throws {RangeError} as `draws`
   */
  readonly unmoved: (combinations: readonly (readonly HeightTerm[])[], pair: readonly [earlier: number, later: number], count: number, seed: number) => readonly Float64Array[];
  /** How the neck line changed from one survey to another, by their positions in the order of the sheets. @throws {RangeError} a position that is none */
  readonly difference: (from: number, to: number) => Difference;
};

/**
 * Adjusts several surveys of one neck together. Each line's change from the first survey is an unknown of its own, as free as the line; the edge is
 * one edge, so that its own error does not show in a change; a fret stands off the line as before unless it was reseated, which the seating log or
 * another state of the frets says, or by more than the readings can do by luck, each survey taken by itself. A change is told of determined places only: see `difference`.
 * @param sheets two or more, in order of time
 * @param adjusted each sheet adjusted for itself; `adjust` unless given
 * @throws {RangeError} fewer than two sheets, a sheet of another neck, or a number as `adjust` refuses it
 */
export function adjustTogether(neck: Neck, sheets: readonly SurveySheet[], adjusted: (sheet: SurveySheet) => Survey = (sheet) => adjust(neck, sheet)): Together {
  const [first] = sheets;
  const stranger = sheets.find((sheet) => sheet.neck !== neck.name);
  if (first === undefined || sheets.length < 2) throw new RangeError(`Cannot adjust surveys together: expected two sheets or more, got ${sheets.length}`);
  if (stranger !== undefined) throw new RangeError(`Cannot adjust the readings of neck "${stranger.neck}" on neck "${neck.name}": expected readings of the same neck (check the neck column)`);
  const each = sheets.map((sheet) => usableReadings(neck, sheet));
  const commons = sheets.map((sheet, survey): Common => ({ neck, sheet, assumed: [...new Set([...neck.assumed, ...sheet.assumed, ...assumedSags(each[survey]?.settings.map(({ tool }) => tool) ?? [])])], notes: [...sheet.notes, ...(each[survey]?.leftAside ?? [])] }));
  const { usable: all, notes } = joined(neck, sheets, each, adjusted);
  if (all.stations.length < 3) return nothingTogether(commons, notes);
  const sound = soundSurvey(neck, first, all);
  const { usable, explanations } = sound;
  const surveys = commons.map((common, survey) => (each[survey]?.stations.length ?? 0) < 3 ? unadjusted(common) : surveyOf(common, all, sound, survey));
  return {
    surveys, notes,
    determines: (terms) => datumFixed(neck, usable, terms),
    linear: (terms) => (isChange(terms) ? measuredSmooth : measuredForm)(explanations, determinedForm(neck, usable, terms)),
    draws: (combinations, count, seed) => jointDraws(explanations, combinations.map((terms) => determinedForm(neck, usable, terms)), count, seed, combinations.every(isChange) ? "smooth" : "with corners"),
    unmoved: (combinations, pair, count, seed) => unmovedDraws(usable, explanations, combinations.map((terms) => determinedForm(neck, usable, terms)), pair, count, seed),
    difference: (from, to) => differenceOf(neck, usable, explanations, surveys, from, to),
  };
}

/** All readings of all surveys, each with the number of its survey. The same sheet may come twice. */
function joined(neck: Neck, sheets: readonly SurveySheet[], each: readonly Usable[], adjusted: (sheet: SurveySheet) => Survey): { readonly usable: Usable; readonly notes: readonly string[] } {
  const own = (survey: number): { readonly survey: number; readonly feelMm?: number } => {
    const { feelMm } = sheets[survey] ?? { feelMm: undefined };
    return feelMm === undefined ? { survey } : { survey, feelMm };
  };
  const settings = each.flatMap((usable, survey) => usable.settings.map((setting): PlacedSetting => ({ ...setting, ...own(survey), readings: setting.readings.map((reading) => ({ ...reading })) })));
  const rockers = each.flatMap((usable, survey) => usable.rockers.map((rocker): PlacedRocker => ({ ...rocker, ...own(survey) })));
  const { jointMm, ...withoutJoint } = usableOf(neck, settings, rockers, []);
  // a free board has no joint, whatever the neck file says of the neck
  const usable: Usable = jointMm === undefined || each.every((one) => one.jointMm === undefined) ? withoutJoint : { ...withoutJoint, jointMm };
  const linesBySurvey = each.map(({ lines }) => lines.map(({ name }) => name));
  const changes = linesBySurvey.flatMap((lines, survey) => (survey === 0 ? [] : [{ of: "change" as const, survey, lines }]));
  const alone = sheets.map(adjusted);
  const moved = alone.slice(1).map((after, index) => (alone[index] === undefined ? [] : movedFrets(alone[index], after)));
  const reseated = reseatsOf(sheets, usable.stations, usable.lines.map(({ name }) => name), moved);
  return { usable: { ...usable, bodies: [...changes, ...(usable.bodies ?? [])], linesBySurvey, reseats: reseated.reseats }, notes: reseated.notes };
}

function nothingTogether(commons: readonly Common[], notes: readonly string[]): Together {
  const refuse = (): never => {
    throw new RangeError("Cannot give heights: these readings determine none (see what is undetermined in each survey)");
  };
  return { surveys: commons.map(unadjusted), notes, determines: () => false, linear: refuse, draws: refuse, unmoved: refuse, difference: refuse };
}
