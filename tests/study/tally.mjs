/** What the judged necks of one family, or of one change, say together. */
import { errorsOf, median, shareOf, sum } from "./statistics.mjs";

/** Edges of the bands around the limit of 0.03 mm, mm. */
const BANDS_MM = [0.02, 0.025, 0.03, 0.035, 0.04];

export function tallied(all) {
  const judged = all.filter((neck) => neck !== undefined);
  const share = (ofNeck, hit) => shareOf(judged.map((neck) => ({ hits: ofNeck(neck).filter(hit).length, of: ofNeck(neck).length })));
  const highs = (of) => (neck) => neck.highs.filter(of);
  const flagged = (of) => share(highs(of), (high) => high.flagged);
  const told = (of) => share(highs((high) => of(high) && high.toldFlagged !== undefined), (high) => high.toldFlagged);
  const group = (ofNeck) => ({ coverage: share(ofNeck, (one) => one.covered), ...errorsOf(judged.flatMap(ofNeck).map((one) => one.errorMm)), meanSquareOverU: meanSquareOverU(judged.flatMap(ofNeck)) });
  const over50 = (high) => high.trueMm >= 0.05;
  return {
    necks: all.length,
    refused: shareOf(all.map((neck) => ({ hits: neck === undefined ? 1 : 0, of: 1 }))),
    undeterminedLines: shareOf(judged.map((neck) => ({ hits: neck.asked - neck.determined, of: neck.asked }))),
    relief: { ...group((neck) => neck.reliefs), medianHalfWidthMm: median(judged.flatMap((neck) => neck.reliefs.map((one) => one.halfMm))) },
    reliefOfThreeReadings: group((neck) => (neck.threeReadings ? neck.reliefs : [])),
    heights: group((neck) => neck.heights),
    highMm: group((neck) => neck.highs),
    highMmByFret: Object.fromEntries(kindsOf(judged).map((kind) => [kind, group(highs((high) => high.farOut === kind))])),
    highMmAtEnds: group(highs((high) => high.atEnd)),
    everyFretRead: everyFretRead(judged.filter((neck) => neck.readsEveryFret && judged.some((other) => !other.readsEveryFret))),
    againstTold: { all: againstTold(judged.flatMap((neck) => neck.highs)), withoutZones: againstTold(judged.flatMap(highs((high) => high.farOut !== "zone"))) },
    found: {
      over50um: flagged(over50), over50umTold: told(over50),
      over50umWithoutZones: flagged((high) => over50(high) && high.farOut !== "zone"), over50umWithoutZonesTold: told((high) => over50(high) && high.farOut !== "zone"),
      ...Object.fromEntries(BANDS_MM.slice(1).map((to, k) => [`from${1000 * BANDS_MM[k]}To${1000 * to}um`, flagged((high) => high.trueMm >= BANDS_MM[k] && high.trueMm < to)])),
      over50umOrToldAsAZone: share(highs(over50), (high) => high.flagged || high.inZone),
      under15um: flagged((high) => high.trueMm < 0.015),
      under15umNotToldAsAZone: share(highs((high) => high.trueMm < 0.015), (high) => high.flagged && !high.inZone),
    },
    soundSurveysWithASlipNamed: shareOf(judged.map((neck) => ({ hits: neck.named > 0 ? 1 : 0, of: 1 }))),
    medianScattersMm: { roughness: median(judged.map((neck) => neck.roughnessMm)), seating: median(judged.map((neck) => neck.seatingMm)) },
  };
}

/** Slips planted, by kind; only those of which the survey says that it would see them (`controlled`), and all. */
export function talliedSlips(all) {
  const planted = all.filter((slip) => slip !== undefined);
  const of = (slips) => ({
    planted: slips.length,
    named: rate(slips, (slip) => slip.named),
    namedAlone: rate(slips, (slip) => slip.named && slip.othersNamed === 0),
    namedOrMayAsWellBe: rate(slips, (slip) => slip.named || slip.namedAsRival),
    goodReadingMayAsWellBe: rate(slips, (slip) => slip.soundRivals > 0),
    goodReadingNamedInstead: rate(slips, (slip) => !slip.named && slip.othersNamed > 0),
    goodReadingNamedToo: rate(slips, (slip) => slip.named && slip.othersNamed > 0),
  });
  const controlled = planted.filter((slip) => slip.controlled && !slip.likeAHighFret);
  const likeHigh = planted.filter((slip) => slip.likeAHighFret);
  return {
    notPlanted: all.length - planted.length,
    controlled: of(controlled),
    controlledByKind: Object.fromEntries(["gap", "row", "leaf"].map((kind) => [kind, of(controlled.filter((slip) => slip.kind === kind))])),
    controlledBySize: Object.fromEntries([[0.1, 0.15], [0.15, 0.2], [0.2, 0.3], [0.3, 0.5]].map(([from, to]) => [`${from}To${to}mm`, of(controlled.filter((slip) => Math.abs(slip.sizeMm) >= from && Math.abs(slip.sizeMm) < to))])),
    controlledWiderGap: of(controlled.filter((slip) => slip.sizeMm > 0)), controlledNarrowerGap: of(controlled.filter((slip) => slip.sizeMm < 0)),
    likeAHighFret: { planted: likeHigh.length, namedOrToldHigh: rate(likeHigh, (slip) => slip.named || slip.toldHigh) },
    uncontrolled: of(planted.filter((slip) => !slip.controlled && !slip.likeAHighFret)),
    soundSurveysWithASlipNamed: rate(planted, (slip) => slip.namedWhenSound > 0),
  };
}

function rate(slips, hit) {
  return shareOf(slips.map((slip) => ({ hits: hit(slip) ? 1 : 0, of: 1 })));
}

/** Surveys that read every fret, where not all do. */
function everyFretRead(necks) {
  const over50 = (neck) => neck.highs.filter((high) => high.trueMm >= 0.05);
  const share = (of, hit) => shareOf(necks.map((neck) => ({ hits: of(neck).filter(hit).length, of: of(neck).length })));
  return {
    found: share(over50, (high) => high.flagged), foundTold: share((neck) => over50(neck).filter((high) => high.toldFlagged !== undefined), (high) => high.toldFlagged),
    againstTold: againstTold(necks.flatMap((neck) => neck.highs)),
  };
}

/** Root mean square error of the frets' heights over that of the adjustment which was told what is far out. */
function againstTold(highs) {
  const both = highs.filter((high) => high.toldErrorMm !== undefined);
  const [own, told] = [errorsOf(both.map((high) => high.errorMm)), errorsOf(both.map((high) => high.toldErrorMm))];
  return { count: both.length, rmseMm: own.rmseMm, toldRmseMm: told.rmseMm, ratio: both.length === 0 ? null : own.rmseMm / told.rmseMm };
}

function kindsOf(judged) {
  return [...new Set(judged.flatMap((neck) => neck.highs.map((high) => high.farOut)))].sort((a, b) => a.localeCompare(b));
}

/** 1 where the standard uncertainties are right on average; above 1 they are too small. */
function meanSquareOverU(ones) {
  const usable = ones.filter((one) => one.uMm > 0);
  return usable.length === 0 ? null : sum(usable.map((one) => (one.errorMm / one.uMm) ** 2)) / usable.length;
}
