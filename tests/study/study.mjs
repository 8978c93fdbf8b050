/**
 * How true the survey's uncertainties are, on invented necks whose distributions stand in src/invented/.
 * node tests/study/study.mjs [--necks N] [--seed S] [--family NAME] [--json]    (N necks a family; runs on dist)
 */
import { parseArgs } from "node:util";
import { judgedNeck } from "./one-neck.mjs";
import { errorsOf, median, shareOf, sum } from "./statistics.mjs";

const FAMILIES = ["smooth", "kinksAndZones", "atTheBench"];

export function studied(family, necks, seed, change) {
  const all = Array.from({ length: necks }, (_, number) => judgedNeck(seed, family, number, change));
  const judged = all.filter((neck) => neck !== undefined);
  const counts = (ofNeck, hit) => judged.map((neck) => ({ hits: ofNeck(neck).filter(hit).length, of: ofNeck(neck).length }));
  const covered = (ofNeck) => shareOf(counts(ofNeck, (one) => one.covered));
  const flagged = (inBand) => shareOf(counts((neck) => neck.highs.filter(inBand), (high) => high.flagged));
  const reliefs = judged.flatMap((neck) => neck.reliefs);
  const heights = judged.flatMap((neck) => neck.heights);
  const highs = judged.flatMap((neck) => neck.highs);
  return {
    family, necks, seed,
    refused: shareOf(all.map((neck) => ({ hits: neck === undefined ? 1 : 0, of: 1 }))),
    undeterminedLines: shareOf(judged.map((neck) => ({ hits: neck.asked - neck.determined, of: neck.asked }))),
    relief: { coverage: covered((neck) => neck.reliefs), ...errorsOf(reliefs.map((one) => one.errorMm)), medianHalfWidthMm: median(reliefs.map((one) => one.halfMm)), meanSquareOverU: meanSquareOverU(reliefs) },
    reliefOfThreeReadings: { coverage: covered((neck) => (neck.threeReadings ? neck.reliefs : [])), ...errorsOf(judged.filter((neck) => neck.threeReadings).flatMap((neck) => neck.reliefs.map((one) => one.errorMm))) },
    reliefByZone: Object.fromEntries(["none", "board", "frets"].map((zone) => [zone, { coverage: covered((neck) => (neck.zone === zone ? neck.reliefs : [])), ...errorsOf(judged.filter((neck) => neck.zone === zone).flatMap((neck) => neck.reliefs.map((one) => one.errorMm))) }])),
    heights: { coverage: covered((neck) => neck.heights), ...errorsOf(heights.map((one) => one.errorMm)), meanSquareOverU: meanSquareOverU(heights) },
    heightsByFret: byFret(judged, (neck) => neck.heights),
    highMm: { coverage: covered((neck) => neck.highs), ...errorsOf(highs.map((one) => one.errorMm)), meanSquareOverU: meanSquareOverU(highs) },
    highByFret: byFret(judged, (neck) => neck.highs),
    highAtEnds: { coverage: covered((neck) => neck.highs.filter((one) => one.atEnd)) },
    flagged: {
      under15um: flagged((high) => high.trueMm < 0.015),
      from15To30um: flagged((high) => high.trueMm >= 0.015 && high.trueMm < 0.03),
      from30To50um: flagged((high) => high.trueMm >= 0.03 && high.trueMm < 0.05),
      over50um: flagged((high) => high.trueMm >= 0.05),
    },
    surveysWithABlunderNamed: shareOf(judged.map((neck) => ({ hits: neck.blunders.length > 0 ? 1 : 0, of: 1 }))),
    medianSpreadsMm: { roughness: median(judged.map((neck) => neck.spreads.roughness.valueMm)), seating: median(judged.map((neck) => neck.spreads.seating.valueMm)) },
    medianMs: { adjust: median(judged.map((neck) => neck.adjustMs)), reliefs: median(judged.map((neck) => neck.reliefMs)) },
  };
}

function byFret(judged, ofNeck) {
  const kinds = [...new Set(judged.flatMap((neck) => ofNeck(neck).map((one) => one.farOut)))].sort((a, b) => a.localeCompare(b));
  return Object.fromEntries(kinds.map((kind) => {
    const only = (neck) => ofNeck(neck).filter((one) => one.farOut === kind);
    const coverage = shareOf(judged.map((neck) => ({ hits: only(neck).filter((one) => one.covered).length, of: only(neck).length })));
    return [kind, { coverage, ...errorsOf(judged.flatMap((neck) => only(neck).map((one) => one.errorMm))), meanSquareOverU: meanSquareOverU(judged.flatMap(only)) }];
  }));
}

/** 1 where the standard uncertainties are right on average; above 1 they are too small. */
function meanSquareOverU(ones) {
  const usable = ones.filter((one) => one.uMm > 0);
  return usable.length === 0 ? null : sum(usable.map((one) => (one.errorMm / one.uMm) ** 2)) / usable.length;
}

function printed(report) {
  const lines = [`\n${report.family}: ${report.necks} necks, seed ${report.seed}`];
  const walk = (label, value) => {
    if (value !== null && typeof value === "object" && "share" in value) lines.push(`  ${label.padEnd(44)} ${percent(value)}`);
    else if (value !== null && typeof value === "object") for (const [key, inner] of Object.entries(value)) walk(`${label}${label === "" ? "" : "."}${key}`, inner);
    else if (typeof value === "number") lines.push(`  ${label.padEnd(44)} ${Number(value.toPrecision(3))}`);
  };
  const { family: _family, necks: _necks, seed: _seed, ...rest } = report;
  walk("", rest);
  return lines.join("\n");
}

function percent({ share, low, high, hits, of }) {
  if (share === null) return "none";
  const p = (value) => (100 * value).toFixed(2);
  return `${p(share)} % (${p(low)} to ${p(high)}), ${hits} of ${of}`;
}

if (process.argv[1]?.endsWith("study.mjs")) {
  const { values } = parseArgs({ options: { necks: { type: "string", default: "100" }, seed: { type: "string", default: "1" }, family: { type: "string" }, json: { type: "boolean", default: false } } });
  const families = values.family === undefined ? FAMILIES : [values.family];
  const reports = [];
  for (const family of families) {
    const report = studied(family, Number(values.necks), Number(values.seed));
    reports.push(report);
    if (!values.json) console.log(printed(report));
  }
  if (values.json) console.log(JSON.stringify(reports, undefined, 2));
}
