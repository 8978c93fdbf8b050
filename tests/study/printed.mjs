/** The study as it is printed: each number beside what is claimed of it (section "what it must reach" of the design). */

export const REMARKS = [
  "Limits are 95 %, Wilson's; counts within one neck hang together, so they are divided by their design effect (variance of the share between necks over that of independent counts).",
  "Partly circular: the same trade figures (how many frets stand out, how far, how evenly frets are pressed in, feel, leaves) made these necks and stand in the adjustment's priors. \"Where it breaks\" changes them one by one.",
  "\"Told\" is the same adjustment told the true seating scatter and which frets are far out; nobody at a bench can know that.",
];

const COVERAGE = [0.93, 0.97];

export function printedFamily(family, tally) {
  const zoned = family.startsWith("kinksAndZones");
  const ratio = ({ ratio: value, rmseMm, toldRmseMm }) => `${value?.toFixed(3) ?? "none"} (${um(rmseMm)} against ${um(toldRmseMm)})`;
  const rows = [
    row("heights: 95 % intervals cover", percent(tally.heights.coverage), "93 to 97 %", within(tally.heights.coverage, ...COVERAGE)),
    row("relief: 95 % intervals cover", percent(tally.relief.coverage), "93 to 97 %", within(tally.relief.coverage, ...COVERAGE)),
    row("highMm: 95 % intervals cover", percent(tally.highMm.coverage), "93 to 97 %", within(tally.highMm.coverage, ...COVERAGE)),
    row("  at the two end frets of each side", percent(tally.highMmAtEnds.coverage)),
    row("highMm: RMSE over the told one's", ratio(tally.againstTold.all), "1.10 or less", verdict(tally.againstTold.all.ratio <= 1.1)),
    ...(zoned ? [row("  without frets in a zone of frets", ratio(tally.againstTold.withoutZones), "1.10 or less", verdict(tally.againstTold.withoutZones.ratio <= 1.1))] : []),
    row("frets 0.05 mm high or more: found", percent(tally.found.over50um), "told, less 1 point", verdict(tally.found.over50um.share >= tally.found.over50umTold.share - 0.01)),
    row("  found by the told one", percent(tally.found.over50umTold)),
    ...(zoned ? [row("  without frets in a zone of frets", percent(tally.found.over50umWithoutZones)), row("  the same, found by the told one", percent(tally.found.over50umWithoutZonesTold))] : []),
    ...(zoned ? [row("  found, or told as one of a zone that board or frets may raise", percent(tally.found.over50umOrToldAsAZone))] : []),
    ...(tally.everyFretRead.found.of === 0 ? [] : [
      row("surveys that read every fret: frets 0.05 mm high found", percent(tally.everyFretRead.found), "told, less 1 point", verdict(tally.everyFretRead.found.share >= tally.everyFretRead.foundTold.share - 0.01)),
      row("  the same, found by the told one", percent(tally.everyFretRead.foundTold)),
      row("  RMSE of highMm over the told one's", ratio(tally.everyFretRead.againstTold), "1.10 or less", verdict(tally.everyFretRead.againstTold.ratio <= 1.1)),
    ]),
    row("frets under 0.015 mm called high", percent(tally.found.under15um), "below 0.5 %", atMost(tally.found.under15um, 0.005)),
    ...(zoned ? [row("  not told as one of such a zone", percent(tally.found.under15umNotToldAsAZone))] : []),
    ...["from20To25um", "from25To30um", "from30To35um", "from35To40um"].map((band) => row(`  called high, truly ${band.replace("from", "").replace("To", " to ").replace("um", " um")}`, percent(tally.found[band]))),
    row("sound surveys with a reading named", percent(tally.soundSurveysWithASlipNamed), "1 %", atMost(tally.soundSurveysWithASlipNamed, 0.01)),
    row("surveys refused", percent(tally.refused), "none", verdict(tally.refused.hits === 0)),
    row("lines undetermined", percent(tally.undeterminedLines)),
    row("relief: error, mean and RMSE", `${um(tally.relief.biasMm)}, ${um(tally.relief.rmseMm)}; half width ${um(tally.relief.medianHalfWidthMm)}`),
    row("relief of three readings: covered", percent(tally.reliefOfThreeReadings.coverage)),
    row("mean of (error / u)^2: heights, highMm, relief", [tally.heights, tally.highMm, tally.relief].map((one) => one.meanSquareOverU?.toFixed(2) ?? "-").join(", "), "1"),
    row("scatters found: roughness, seating", `${um(tally.medianScattersMm.roughness)}, ${um(tally.medianScattersMm.seating)}`),
  ];
  return `\n${family}: ${tally.necks} necks\n${rows.join("\n")}`;
}

export function printedSlips(family, tally) {
  const { controlled } = tally;
  const rows = [
    row("named", percent(controlled.named), "95 % or more", atLeast(controlled.named, 0.95)),
    row("  and nothing else", percent(controlled.namedAlone)),
    row("named, or told that it may also be the slip", percent(controlled.namedOrMayAsWellBe)),
    row("a good reading told as one that may also be it", percent(controlled.goodReadingMayAsWellBe)),
    row("a good reading named instead", percent(controlled.goodReadingNamedInstead)),
    row("a good reading named as well", percent(controlled.goodReadingNamedToo)),
    ...Object.entries(tally.controlledByKind).map(([kind, one]) => row(`named, ${{ gap: "gap off by 0.10 to 0.50 mm", row: "what belongs two or three rows on", leaf: "another leaf" }[kind]}`, percent(one.named))),
    ...Object.entries(tally.controlledBySize).map(([size, one]) => row(`named, off by ${size.replace("To", " to ").replace("mm", " mm")}`, percent(one.named))),
    row("named, gap too wide", percent(tally.controlledWiderGap.named)),
    row("named, gap too narrow", percent(tally.controlledNarrowerGap.named)),
    row("gap too narrow, nothing else there: named, or a high fret told", percent(tally.likeAHighFret.namedOrToldHigh)),
    row("named among readings listed as uncontrolled", percent(tally.uncontrolled.named)),
    row("the same surveys without the slip: a reading named", percent(tally.soundSurveysWithASlipNamed), "1 %", atMost(tally.soundSurveysWithASlipNamed, 0.01)),
  ];
  return `\none slip planted, ${family}: ${controlled.planted} in readings whose smallest detectable slip is 0.10 mm or less, ${tally.likeAHighFret.planted} that look like a high fret, ${tally.uncontrolled.planted} in others\n${rows.join("\n")}`;
}

export function printedBreaks(breaks) {
  const cells = (name, tally) => [
    name, percent(tally.heights.coverage, 0), percent(tally.relief.coverage, 0), percent(tally.highMm.coverage, 0), um(tally.highMm.rmseMm),
    percent(tally.found.over50um, 0), percent(tally.found.under15um, 1), percent(tally.soundSurveysWithASlipNamed, 0), broken(tally).join(", "),
  ];
  const head = ["what is changed", "heights cover", "relief covers", "highMm covers", "highMm RMSE", "0.05 mm found", "under 0.015 called", "sound, one named", "fails"];
  const table = [head, ...Object.entries(breaks).map(([name, tally]) => cells(name, tally))];
  const widths = head.map((_, column) => Math.max(...table.map((line) => line[column].length)));
  const lines = table.map((line) => `  ${line.map((cell, column) => cell.padEnd(widths[column])).join("  ").trimEnd()}`);
  const [first] = Object.values(breaks);
  const meanings = Object.entries(breaks).map(([name, { what }]) => `  ${name}: ${what}`);
  return `\nwhere it breaks: ${first?.necks ?? 0} necks of the smooth family for each, full plan of readings where not said otherwise\n${lines.join("\n")}\n${meanings.join("\n")}`;
}

/** What a change breaks beyond doubt: the whole 95 % interval lies outside the claim. */
function broken(tally) {
  const short = ({ high }) => high !== null && high < COVERAGE[0];
  return [
    ...(short(tally.heights.coverage) ? ["heights"] : []), ...(short(tally.relief.coverage) ? ["relief"] : []), ...(short(tally.highMm.coverage) ? ["highMm"] : []),
    ...(tally.found.over50um.high !== null && tally.found.over50um.high < 0.95 ? ["high frets missed"] : []),
    ...(tally.found.under15um.low > 0.005 ? ["false alarms"] : []), ...(tally.soundSurveysWithASlipNamed.low > 0.01 ? ["good readings named"] : []),
  ];
}

function row(label, value, claimed = "", met = "") {
  return `  ${label.padEnd(62)} ${value.padEnd(46)} ${claimed === "" ? "" : `claimed: ${claimed}`.padEnd(28)} ${met}`.trimEnd();
}

const verdict = (met) => (met ? "met" : "NOT MET");
/** Met, not met, or open: the interval reaches over the edge of the claim. */
function within({ share, low, high }, least, most) {
  if (share === null) return "";
  if (share >= least && share <= most) return "met";
  return high < least || low > most ? "NOT MET" : "not met, within chance";
}
const atLeast = ({ share, high }, least) => (share === null ? "" : share >= least ? "met" : high < least ? "NOT MET" : "not met, within chance");
const atMost = ({ share, low }, most) => (share === null ? "" : share <= most ? "met" : low > most ? "NOT MET" : "not met, within chance");

function percent({ share, low, high, hits, of }, digits = 2) {
  if (share === null) return "none";
  const p = (value) => (100 * value).toFixed(digits);
  return digits < 2 ? `${p(share)} % (${p(low)}-${p(high)})` : `${p(share)} % (${p(low)} to ${p(high)}), ${hits} of ${of}`;
}

function um(mm) {
  return mm === null || mm === undefined ? "none" : `${(1000 * mm).toFixed(1)} um`;
}
