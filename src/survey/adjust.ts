import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { once } from "../units/once.js";
import { soundSurvey, uncontrolledReadings } from "./blunders.js";
import type { Sound } from "./blunders.js";
import { crownsOf } from "./crowns.js";
import { datumFixed, isBetweenLines, TWIST_NEED } from "./datumFreedom.js";
import { jointDraws } from "./draws.js";
import { topPoint } from "./explanation.js";
import { measuredForm, measuredForms } from "./functional.js";
import type { Form } from "./functional.js";
import { chordOf, faceOf, groupOfLine, heightsOf, otherGroups, profileOf } from "./heightsOf.js";
import { isCrossing } from "./model/paths.js";
import { assumedSags } from "./model/sag.js";
import { CENTRE } from "./model/scatters.js";
import { usableReadings } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import { bestNextReading, bestTriedReading, sightTwist } from "./nextReading.js";
import { spreadUsed } from "./spreads.js";
import type { HeightTerm, SpreadUsed, Survey } from "./survey.js";
import { determinedForm } from "./terms.js";
import { twistOf } from "./twist.js";
import { firstReadings, undeterminedOf } from "./undetermined.js";
import { zonesOf } from "./zones.js";

/**
 * Adjusts a sheet of readings: heights of all read places with their uncertainties, the smooth neck line, and what cannot be known.
 * gap = a + b t + edge - height, with offset a and tilt b free for every setting along, across or diagonally; readings enter as intervals.
 * The sheet must belong to the neck (the readers of readings check this).
 * @returns heights and lines in mm over the chord from the first to the last determined place of each line, positive away from the back
 * @throws {RangeError} a sheet that names another neck, or in a sheet made in code a number that cannot be one of a reading, as an uncertainty of 0
 */
export function adjust(neck: Neck, sheet: SurveySheet): Survey {
  if (sheet.neck !== neck.name) {
    throw new RangeError(`Cannot adjust the readings of neck "${sheet.neck}" on neck "${neck.name}": expected readings of the same neck (check the neck column)`);
  }
  const all = usableReadings(neck, sheet);
  const common = { neck, sheet, assumed: [...new Set([...neck.assumed, ...sheet.assumed, ...assumedSags(all.settings.map(({ tool }) => tool))])], notes: [...sheet.notes, ...all.leftAside] };
  if (all.stations.length < 3) return unadjusted(common);
  return surveyOf(common, all, soundSurvey(neck, sheet, all), 0);
}

/** No sheet is known with which it comes to this; a rough answer must not look like a sure one. */
const UNSETTLED = "These readings pull against each other so much that the reckoning did not come to rest: take every number for rough, and read again what stands out first.";

/** What of a survey stands before it is adjusted. */
export type Common = Pick<Survey, "neck" | "sheet" | "assumed" | "notes">;

/**
 * The answers of an adjustment for one of the surveys in it.
 * @param all readings as they were before any was set aside
 */
export function surveyOf(common: Common, all: Usable, { usable, explanations, blunders }: Sound, survey: number): Survey {
  const { neck, sheet } = common;
  const [likeliest] = explanations;
  const lines = linesRead(usable, survey);
  const groups = lines.map((line) => groupOfLine(neck, usable, line, survey));
  const determined = groups.filter((group) => group.stations.length > 2);
  const others = otherGroups(neck, usable, groups, survey);
  const formOf = (terms: readonly HeightTerm[]): Form => determinedForm(neck, usable, terms.map((term) => ({ ...term, survey })));
  const twist = twistOf(neck, usable, survey);
  const crossed = usable.settings.some((setting) => (setting.survey ?? 0) === survey && isCrossing(setting));
  const profiles = once(() => determined.map((group) => profileOf(usable, explanations, group)));
  return {
    ...common,
    notes: [...common.notes, ...(topPoint(likeliest).posterior.converged ? [] : [UNSETTLED])],
    get lines() {
      return profiles();
    },
    datum: determined.map((group) => ({ line: group.line, ...chordOf(neck, usable, group) })),
    heights: determined.flatMap((group) => heightsOf(neck, all, explanations, group)),
    faces: others.filter((group) => group.stations.length > 2).map((group) => faceOf(neck, all, explanations, group)),
    crowns: crownsOf(all, explanations, survey),
    twist,
    zones: zonesOf(usable, explanations),
    undetermined: [
      ...[...groups, ...others].flatMap((group) => undeterminedOf(neck, usable, group)),
      ...(crossed && twist.status === "undetermined" ? [{ line: lines.at(-1) ?? "", what: "the twist", need: twist.need }] : []),
    ],
    blunders: blunders.filter(({ survey: of = 0 }) => of === survey),
    uncontrolled: uncontrolledReadings(usable, likeliest, survey),
    spreads: {
      roughness: spreadUsed(likeliest.grid, (point) => point.scatters.roughnessMm, CENTRE.roughnessMm),
      seating: spreadUsed(likeliest.grid, (point) => point.scatters.seatingMm, CENTRE.seatingMm),
    },
    determines: (terms) => datumFixed(neck, usable, terms.map((term) => ({ ...term, survey }))),
    linear: (terms) => measuredForm(explanations, formOf(terms)),
    linearAll: (combinations) => measuredForms(explanations, combinations.map(formOf)),
    draws: (combinations, count, seed) => jointDraws(explanations, combinations.map(formOf), count, seed),
    nextReading: (terms, how = "estimated") => {
      const placed = terms.map((term) => ({ ...term, survey }));
      if (!datumFixed(neck, usable, placed) && isBetweenLines(neck, placed)) return sightTwist(neck);
      const asked = { terms, form: formOf(terms), survey };
      return how === "tried" ? bestTriedReading(neck, sheet, usable, explanations, asked) : bestNextReading(neck, usable, explanations, asked, sheet);
    },
  };
}

/** Lines of the neck line that a survey's readings touch. */
function linesRead(usable: Usable, survey: number): readonly string[] {
  return usable.linesBySurvey?.[survey] ?? usable.lines.map((line) => line.name);
}

/** A sheet that reaches fewer than three places has no shape in it. */
export function unadjusted(common: Common): Survey {
  const refuse = (): never => {
    throw new RangeError("Cannot give heights: these readings determine none (see what is undetermined)");
  };
  const prior = (valueMm: number): SpreadUsed => ({ valueMm, basis: "prior-dominated" });
  return {
    ...common, datum: [], heights: [], lines: [], faces: [], crowns: [], zones: [], blunders: [], uncontrolled: [],
    twist: { status: "undetermined", need: TWIST_NEED },
    undetermined: common.neck.lines.map((line) => ({ line: line.name, what: "the shape of this line", need: firstReadings(common.neck, line.name) })),
    spreads: { roughness: prior(CENTRE.roughnessMm), seating: prior(CENTRE.seatingMm) },
    determines: () => false, linear: refuse, linearAll: refuse, draws: refuse, nextReading: refuse,
  };
}
