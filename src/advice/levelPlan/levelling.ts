import type { FretAction, FretFinding } from "../../frets/finding.js";
import { fretsWords } from "../../frets/lists.js";
import { fretReport } from "../../frets/report.js";
import { isQuickLook } from "../../frets/reportWords.js";
import { fretDistanceMm, fretTops } from "../../neck/frets.js";
import { limitsOf, type Limits } from "../../neck/limits.js";
import type { NeckLine } from "../../neck/neck.js";
import { acrossMm, radiusDropMm } from "../../neck/surface.js";
import type { SurveySheet } from "../../readings/reading.js";
import { stringsState } from "../../readings/stringsState.js";
import type { Profile } from "../../shape/profile.js";
import type { Survey } from "../../survey/survey.js";
import { capital } from "../../units/text.js";
import { lengthWords, smallWords } from "../../units/words.js";
import { crownHeights, type KnownCrown } from "./crowns.js";
import { coveredTops, overDatum, tiedLines, type Beam } from "./datum.js";
import { fallAwayAt } from "./fallAway.js";
import type { LevelProblem, LevelTop } from "./problem.js";
import { evenReliefOf, profileRelief } from "./reliefShape.js";
import { rodRangeFrom, type RodAbility } from "./rodRange.js";
import { twistedFirst, twistOpenNotes, type TwistedFirst } from "./twistedFirst.js";

/** What is known beside the survey when a levelling is posed; everything may be left out. */
export type LevellingAbout = {
  /** Sheets in which crowns were read, besides the survey's own. */
  readonly crowns?: readonly SurveySheet[];
  /** By how much the rod can change the relief from where it stood, mm at the middle, positive toward forward bow; or a rod test, of which what is left from where it stood counts. The rod stays where it is if absent. */
  readonly rod?: RodAbility;
  /** The shape in which the rod changes the neck; an even curve over the rod's reach if absent. */
  readonly reliefShape?: Profile;
  /**
   * `straight`: a flat beam along one line at a time, which sees a radiused board along a string path a little high in its middle.
   * `radiused`: a block of the board's radius, led along the board, for which the radius is no height at all. It takes all lines at once: where readings tie them to each other
   * (both diagonals, or sighting bars and two edges across) they are planned to one plane.
   */
  readonly beam?: Beam;
  /** Frets that may be seated first (those under whose crowns a leaf went, say); if absent, every high fret that the fret report wants looked at or seated. */
  readonly mayBeSeated?: readonly number[];
};

/** A levelling ready to be planned, with where its numbers come from. */
export type Levelling = {
  readonly status: "posed";
  readonly problem: LevelProblem;
  readonly survey: Survey;
  readonly limits: Limits;
  readonly beam: Beam;
  /** Frets under whose crowns a gap was seen; the other frets to seat are seated only if a leaf goes under. */
  readonly gapSeen: readonly number[];
  /** The crowns, in the order of the problem's tops. */
  readonly crowns: readonly KnownCrown[];
  /** Where the crown heights come from. */
  readonly crownsSaid: string;
  /** What is to be read once more before anything is filed. */
  readonly before: readonly string[];
  /** What is not covered or was taken as given, in a builder's words, what matters most first. */
  readonly notes: readonly string[];
};

/** A levelling, or what to read or measure before one can be posed, or a neck whose twist is to be settled before anything is levelled. */
export type LevellingOutcome = Levelling | { readonly status: "measure first"; readonly needs: readonly [string, ...string[]]; readonly describe: () => string } | TwistedFirst;

type Place = { readonly fret: number; readonly line: NeckLine; readonly xMm: number };

/**
 * Poses the levelling of a surveyed neck: heights of all fret tops between the first and last reading of each line, what seating would bring down,
 * what the crowns can give, what the rod can do. Readings along the neck fix neither twist nor one line's height against another, and a straight beam is led along one line
 * at a time: then each line keeps a level and tilt of its own. A radiused block takes the lines together: see `tiedLines`.
 */
export function levelling(survey: Survey, about: LevellingAbout = {}): LevellingOutcome {
  const { neck } = survey;
  const rod = rodRangeFrom(neck.rod, survey.sheet.state.rod, about.rod);
  const twisted = twistedFirst(survey);
  if (twisted !== undefined) return twisted;
  const places = placesOf(survey);
  const crowns = crownHeights(neck, [survey.sheet, ...(about.crowns ?? [])], places.map(({ fret, line }) => ({ fret, line: line.name })));
  const [need, ...more] = [...surveyNeeds(survey, places), ...(places.length > 0 && crowns.status === "unknown" ? [crowns.need] : [])];
  if (need !== undefined || crowns.status === "unknown") return measureFirst([need ?? "", ...more]);
  const limits = limitsOf(neck);
  const beam = about.beam ?? "straight";
  const shape = about.reliefShape === undefined ? evenReliefOf(neck) : profileRelief(about.reliefShape);
  const tied = tiedLines(survey, beam);
  const highs = highsOf(survey, places, limits);
  const gapSeen = fretsWith(survey, ["seat"]);
  const seated = [...gapSeen, ...fretsWith(survey, ["look under the crown", "look into the zone"])];
  const seatable = (fret: number): boolean => (about.mayBeSeated ?? seated).includes(fret);
  const linesSaid = tied.said;
  const tops = places.map((place, index): LevelTop => {
    const { fret, line, xMm } = place;
    const heightMm = survey.linear(overDatum(survey, tied.datum, place, [{ of: "fretTop", line: line.name, fret, weight: 1 }])).value + (beam === "straight" ? radiusDropMm(neck, line, xMm) : 0);
    const dropMm = seatable(fret) ? (highs[index] ?? 0) : 0;
    return {
      fret, line: line.name, xMm, yMm: acrossMm(neck, line, xMm), heightMm, ...(dropMm > 0 ? { dropMm } : {}),
      spareMm: metalMm(crowns.crowns[index], highs[index] ?? 0) - limits.crownMinMm, reliefShare: shape(xMm), fallAwayMm: fallAwayAt(neck, limits.fallAwayMm, xMm),
    };
  });
  const problem: LevelProblem = { tops, datum: tied.datum, ...(linesSaid("mm first") === "" ? {} : { linesSaid }), toleranceMm: limits.levelToleranceMm, reseatMax: limits.reseatMax ?? seated.length + (about.mayBeSeated?.length ?? 0), rod: rod.range, ...(survey.sheet.state.rod === undefined ? {} : { rodStood: survey.sheet.state.rod }) };
  return { status: "posed", problem, survey, limits, beam, gapSeen, crowns: crowns.crowns, crownsSaid: crowns.said, before: [...twistOpenNotes(survey), ...unread(survey)], notes: [...untied({ problem, beam }), ...uncovered(survey, places), ...rod.notes, ...assumedOf(survey, limits)] };
}

/** Frets for which the fret report says to do one of these. */
function fretsWith(survey: Survey, actions: readonly FretAction["do"][]): readonly number[] {
  return fretReport(survey).frets.filter(({ action }) => actions.includes(action.do)).map(({ fret }) => fret);
}

/** Frets that rock by an amount that was not read, and those of which it is open whether they are high: what comes off there is open too. */
function unread(survey: Survey): readonly string[] {
  const toRead = fretReport(survey).frets.filter(({ action }) => action.do === "read");
  const rocks = ({ action }: Pick<FretFinding, "action">): boolean => action.do === "read" && action.why === "rocks, no leaf";
  return [...rockingWords(toRead.filter(rocks).map(({ fret }) => fret)), ...openWords(toRead.filter((finding) => !rocks(finding)).map(({ fret }) => fret))];
}

function rockingWords(frets: readonly number[]): readonly string[] {
  const [rocks, end, stands] = frets.length === 1 ? ["rocks", "the raised end", "it stands"] : ["rock", "each raised end", "they stand"];
  return frets.length === 0 ? [] : [`${capital(fretsWords(frets))} ${rocks}, by how much was not read: slide a leaf under ${end} before you level. How far ${stands} up is not known, and the plan does not reckon with it.`];
}

function openWords(frets: readonly number[]): readonly string[] {
  return frets.length === 0 ? [] : [`Read ${fretsWords(frets)} once more before you level, as the fret report says: whether ${frets.length === 1 ? "it is" : "they are"} high is open, and the plan takes what stands there for metal to file.`];
}

/** The assumed limits that a levelling goes by. */
function assumedOf({ neck }: Survey, limits: Limits): readonly string[] {
  const stated = neck.limits ?? {};
  const used = [
    stated.crownMinMm === undefined ? `least crown ${lengthWords(limits.crownMinMm)}` : "", stated.levelToleranceMm === undefined ? `tolerance ${smallWords(limits.levelToleranceMm)}` : "",
    stated.fallAwayMm === undefined ? (limits.fallAwayMm === 0 ? "no fall-away" : `fall-away ${lengthWords(limits.fallAwayMm)}`) : "",
  ].filter((one) => one !== "");
  return used.length === 0 ? [] : [`Taken as common practice, because not stated: ${used.join(", ")}.`];
}

/** What a block does that its plan does not see: on a neck whose lines are not tied to each other. */
function untied({ problem, beam }: Pick<Levelling, "problem" | "beam">): readonly string[] {
  return beam === "radiused" && problem.datum === "each line its own" && problem.linesSaid !== undefined ? [problem.linesSaid("mm first")] : [];
}

/** All tops that the beam is led over; a zero fret carries the open strings and is left out. */
function placesOf(survey: Survey): readonly Place[] {
  return survey.neck.lines.flatMap((line) => coveredTops(survey, line.name).filter((fret) => fret > 0).map((fret): Place => ({ fret, line, xMm: fretDistanceMm(survey.neck.scaleLengthMm, fret) })));
}

/** A crown is counted this many standard uncertainties lower than it was read: 19 in 20 are no lower. */
const SURE = 1.645;

/** How much lower than it was read a crown is counted in the plan, mm. */
export function countedLowerMm(crown: KnownCrown | undefined): number {
  return SURE * (crown?.uMm ?? 0);
}

/** Metal of a crown, mm: what a gauge read over the wood, less its uncertainty, and less what a high fret stands up by, since that may be air under it. */
function metalMm(crown: KnownCrown | undefined, highMm: number): number {
  if (crown === undefined) return NaN;
  return crown.from === "wire as stated" ? crown.heightMm : crown.heightMm - countedLowerMm(crown) - highMm;
}

/** How far each top of a high fret stands over the neck line, and so comes down when it is seated; 0 on frets that do not count as high on any line. */
function highsOf(survey: Survey, places: readonly Place[], limits: Limits): readonly number[] {
  const highs = places.map(({ fret, line, xMm }) => survey.linear([{ of: "fretTop", line: line.name, fret, weight: 1 }, { of: "neckLine", line: line.name, xMm, weight: -1 }]).value);
  const isHigh = (fret: number): boolean => places.some((place, index) => place.fret === fret && (highs[index] ?? 0) >= limits.highMm);
  return places.map(({ fret }, index) => (isHigh(fret) ? Math.max(0, highs[index] ?? 0) : 0));
}

function surveyNeeds(survey: Survey, places: readonly Place[]): readonly string[] {
  const { strings, support } = survey.sheet.state;
  const strung = /jig/i.test(support ?? "") ? "off" : stringsState(strings);
  const strungNeed = strung === "off" ? [] : [`${strung === "on" ? "Read the neck with the strings off" : `Say in the readings whether the strings were on or off ("${strings ?? ""}" does not say), and read the neck with them off`} (or held as if strung, in a jig): that is how the beam will meet it; under tension it has another shape.`];
  if (places.length > 0) return [...strungNeed, ...(isTooFew(survey, places) ? [TOO_FEW] : [])];
  return [...strungNeed, ...survey.undetermined.map(({ need }) => need), "Read fret tops along one line or more, three places at least."].slice(0, 3);
}

/** With fewer tops read than this share, and nothing said of any fret, a plan is made of guesses (own judgement, no source). */
const FEW_SHARE = 1 / 3;
const TOO_FEW = "Read more frets: these readings hardly say how any fret stands, and what is filed does not come back. Read every second fret of each line under the edge, or rock a short edge over every three frets.";

/** A quick look at a few frets. */
function isTooFew(survey: Survey, places: readonly Place[]): boolean {
  const read = places.filter(({ fret, line }) => survey.heights.some((height) => height.line === line.name && height.place.fret === fret)).length;
  return read < FEW_SHARE * places.length && isQuickLook(fretReport(survey));
}

function measureFirst(needs: readonly [string, ...string[]]): LevellingOutcome {
  return { status: "measure first", needs, describe: () => `Do not level yet. ${needs.join(" ")}` };
}

function uncovered(survey: Survey, places: readonly Place[]): readonly string[] {
  const lines = survey.neck.lines.map(({ name }) => name);
  const without = lines.filter((line) => !places.some((place) => place.line.name === line));
  const short = lines.flatMap((line) => {
    const on = places.filter((place) => place.line.name === line).map(({ fret }) => fret);
    const left = fretTops(survey.neck).filter((fret) => fret > 0 && !on.includes(fret));
    return on.length > 0 && left.length > 0 ? [`${line}: ${left.length === 1 ? "fret" : "frets"} ${left.join(", ")} not covered by the readings: what the beam meets there is not known.`] : [];
  });
  return [
    ...without.map((line) => `The ${line} line was not read: nothing is planned there.`), ...short,
    ...(survey.neck.zeroFret ? ["The zero fret is left out: tape it over and keep the beam off it. It carries the open strings; take it down last, strings at pitch, a little at a time, while they still clear fret 1."] : []),
  ];
}
