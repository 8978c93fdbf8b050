// Malformed neck files, bench tables and CSVs, many of them: each must parse or give located problems. Runs on dist.
// node tests/fuzz/fuzz.mjs [--runs 100000] [--seed 1] [--from 0]
import { readNeck } from "../../dist/neck/index.js";
import { readBenchText, readReadingFiles, readReadingsCsv } from "../../dist/readings/index.js";
import { problemSentence } from "../../dist/units/problem.js";

const RUNS = Number(argument("--runs") ?? 100_000);
const SEED = Number(argument("--seed") ?? 20_260_504);
const FROM = Number(argument("--from") ?? 0);
const SLOWEST_MS = 1000;

function argument(name) {
  const at = process.argv.indexOf(name);
  return at < 0 ? undefined : process.argv[at + 1];
}

/** A small seeded stream (mulberry32), so that a failing run can be had again by its number. */
function streamOf(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const below = (n) => Math.floor(next() * n);
  return { next, below, of: (list) => list[below(list.length)], chance: (p) => next() < p };
}

const NECK = {
  name: "fuzz neck", scaleLength: "25 in", frets: 22, zeroFret: false, bodyJoint: 16, fingerboardRadius: { nut: "10 in", lastFret: "14 in" },
  lines: { bass: { share: 0.1 }, centre: { share: 0.5 }, treble: { offset: "18 mm" } }, widths: { nut: "43 mm", lastFret: 56 },
  thicknesses: { board: "6 mm", total: { 1: 20.5, 12: "22 mm", lastFret: 23 } }, woods: { board: "ebony", neck: { name: "maple", modulusMPa: 12500 } },
  slots: { width: "0.023 in", depth: 2.3, ends: "blind" }, tangs: { thickness: "0.020 in", cutBack: "2 mm" }, crown: { height: "1.1 mm" },
  rod: { works: "both ways", from: 10, to: 420, depth: 7, spacing: 6, lead: 0.8, moreRelief: "anticlockwise" },
  strings: { each: [{ gauge: "0.046 in", wound: true, note: "E2" }, { gauge: "0.010 in", wound: false }], heightAtNut: 0.4 }, limits: { reliefMin: 0.1, reliefMax: 0.3, reseatMax: 3 },
};
const OUTCOME = readNeck(NECK, "fuzz neck");
if (OUTCOME.status !== "read") throw new Error(OUTCOME.problems.map(problemSentence).join("\n"));
const KNOWN = OUTCOME.value;

const TEXT = `stage: after glue-up
date: 2026-05-04
rod: neutral
strings: off
support: on its back on blocks
hours since glue: 24
humidity: 45 %
temperature: 20 C
unit: thou
leaves: 1.5 2 3 4 5 6 7 8 10 12 thou, tolerance 0.004 mm
edge: 450 mm, straight within 0.02 mm
tool long: straightedge, 24 in, straight within 0.001 in
feel: 0.005 mm
surface: fret tops

| fret | bass | centre | treble |
|---|---|---|---|
| 1 | touch | 0 | light |
| 7 | 4 | 3..4 | 10+6 |
| 14 | <1.5 | 0,10mm | 4.2±0.3 |

long centre treble
1\ttouch\t0
16\t-\tna

rocker bass treble
5 still rocks=2
rocked frets 2-4, 6-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks
7 treble: rocks 2 > tapped > still
# a remark
`;
const PLAIN = "fret bass centre treble\n1 touch 0 touch\n3.5 0.05 light -\n@123.4mm 0,10 >1 0.95+0.05\n16 touch 0 touch\n";
const CSV = `neck,stage,date,surface,line,path,tool,setting,at,gap,unit,note,rod,strings,humidity
fuzz neck,s1,2026-05-04,,bass,,,1,1,touch,,,neutral,off,45 %
fuzz neck,s1,2026-05-04,,bass,,,1,7,4,thou,"a ""quoted"", note",,,
fuzz neck,s1,2026-05-04,,bass,,,1,14,"0,10",mm,,,,
fuzz neck,s1,2026-05-04,,bass,across,dialBar,,9,0.2±0.01,mm,,,,
fuzz neck,s1,2026-05-04,,treble,across,dialBar,,9,-0.2±0.01,mm,,,,
fuzz neck,s2,2026-05-05,wood,,diagonal bass@1 treble@16,straightedge,2,3.5,4..5,,,slack,,
fuzz neck,s2,2026-05-05,,treble,,rocker,3,6,0,,,,,
fuzz neck,s2,2026-05-05,,treble,,rocker,3,7,0,,,,,
fuzz neck,s2,2026-05-05,,treble,,rocker,3,8,2,,,,,
fuzz neck,s2,2026-05-05,,treble,,,,12,rocks=2,,,,,
fuzz neck,s2,2026-05-05,underCrown,treble,,,,12,light,,,,,
`;

const NASTY = [
  "", " ", "-", "--", "0", "-0", "00", "1e3", "1e999", "-1", "NaN", "nan", "Infinity", "-Infinity", "null", "undefined", "true", "[]", "{}", "__proto__", "constructor", "toString",
  "3-4", "3-Apr", "03/04/2026", "2026-04-03", "2026-13-45", "45000", "4..5", "5..4", "4…5", "..", "<", ">", "<0", ">0", "<1.5", ">40", "4+4", "10+6", "1+2+3+4", "+", "4.2±0.3", "4.2±0", "±", "±1", "4+-", "-4.2±0.3",
  "touch", "light", "still", "rocks", "rocks=2", "rocks 2", "rocks=", "rocks=0", "rocks=touch", "rocks=4..5", "0,10mm", "0.10mm", "4thou", "0.004in", "1/0", "1/0 in", "0/0", "1 1/16 in", "4 th", "mm", "'4", "=4+1", "@", "@123.4mm", "@-5mm", "@1e9mm", "@9in", "3.5", "22.5", "0.5", "7.25", "23", "999999999999999999999", "7", "1",
  "bass", "BASS", "trebel", "centre", "across", "diagonal bass@1 treble@16", "diagonal bass@1 bass@1", "diagonal", "wood", "underCrown", "rocker", "notched", "dialBar", "endBlocks", "<script>alert(1)</script>", '"', '""', "'", "\\", "\u0000", "\uFEFF", "\u2028", "é", "𝟜", "٤", "|", ";", ",", "\t", "\n", "a".repeat(300), "9".repeat(400), " ".repeat(500), "-".repeat(300) + "x", "rocked frets 2-21 on bass: still", "unit: mm", "unit: feet", "leaves: metric", "leaves: 4 4", "7 treble: a > b", "frets: levelled", "rod: slack", "edge: 100 mm", "fret bass treble",
];
const CHARS = "0123456789.,;:|+-±<>=@ \t\n\r\"'{}[]#/\\abcdefgmnorstuéµ\u0000\uFEFF".split("");

function mutatedText(text, r) {
  let out = text;
  for (let left = 1 + r.below(4); left > 0; left -= 1) out = mutation(out, r);
  return out;
}

function maybeMutated(text, r) {
  return r.chance(0.5) ? text : mutatedText(text, r);
}

function mutation(text, r) {
  const at = r.below(text.length + 1);
  switch (r.below(11)) {
    case 0: return text.slice(0, at) + r.of(CHARS) + text.slice(at);
    case 1: return text.slice(0, at) + text.slice(at + 1 + r.below(4));
    case 2: return text.slice(0, at);
    case 3: return text.slice(at);
    case 4: return replacedCell(text, r);
    case 5: return replacedCell(replacedCell(text, r), r);
    case 6: return changedLines(text, r);
    case 7: return text.replaceAll("\n", r.of(["\r\n", "\r", "\n\n", " "]));
    case 8: return text.replaceAll(",", r.of([";", "\t", ",,", "|"]));
    case 9: return `${r.of(["\uFEFF", "sep=;\n", "title,,,\n", "\n\n", "\u0000"])}${text}`;
    default: return text.slice(0, at) + r.of(NASTY) + text.slice(at);
  }
}

function replacedCell(text, r) {
  const cells = [...text.matchAll(/[^\s,|;]+/g)];
  if (cells.length === 0) return r.of(NASTY);
  const cell = r.of(cells);
  return text.slice(0, cell.index) + r.of(NASTY) + text.slice(cell.index + cell[0].length);
}

function changedLines(text, r) {
  const lines = text.split("\n");
  const i = r.below(lines.length);
  const j = r.below(lines.length);
  const kept = lines[i];
  if (r.chance(0.3)) lines.splice(i, 1);
  else if (r.chance(0.5)) lines.splice(j, 0, kept);
  else { lines[i] = lines[j]; lines[j] = kept; }
  return lines.join("\n");
}

function noise(r) {
  const pieces = Array.from({ length: r.below(60) }, () => (r.chance(0.5) ? r.of(NASTY) : r.of(CHARS)));
  return pieces.join(r.of(["", " ", ",", "\n", "\t"]));
}

/** An object with some of its values replaced, dropped, renamed or nested. */
function mutatedValue(value, r, rate = r.of([0.002, 0.01, 0.05])) {
  if (r.chance(rate)) return r.of([...NASTY, 0, -1, 25, 1e308, Number.NaN, Number.POSITIVE_INFINITY, null, undefined, true, [], {}, [[]], { share: 2 }]);
  if (Array.isArray(value)) return value.map((each) => mutatedValue(each, r, rate));
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value).filter(() => !r.chance(rate / 2)).map(([key, each]) => [r.chance(rate / 3) ? r.of(NASTY) : key, mutatedValue(each, r, rate)]);
  return Object.fromEntries(r.chance(rate) ? [...entries, [r.of(NASTY), r.of(NASTY)]] : entries);
}

const SUBJECTS = [
  { name: "neck object", input: (r) => mutatedValue(NECK, r), read: (input) => readNeck(input, "neck.json") },
  { name: "neck text", input: (r) => maybeMutated(JSON.stringify(mutatedValue(NECK, r), undefined, r.below(3)) ?? "", r), read: (input) => readNeck(input, "neck.json") },
  { name: "table", input: (r) => mutatedText(TEXT, r), read: (input) => readBenchText(KNOWN, input, { source: "table" }) },
  { name: "plain table", input: (r) => maybeMutated(mutatedText(PLAIN, r), r), read: (input) => readBenchText(KNOWN, input, { source: "table", unit: "mm", surface: "wood" }) },
  { name: "csv", input: (r) => mutatedText(CSV, r), read: (input) => readReadingsCsv(KNOWN, input, { source: "r.csv" }) },
  { name: "files", input: (r) => mutatedText(r.chance(0.5) ? CSV : TEXT, r), read: (input) => readReadingFiles(KNOWN, [{ source: "a", text: input }, { source: "b.csv", text: CSV }]) },
  { name: "noise", input: noise, read: (input) => [readNeck(input), readBenchText(KNOWN, input), readReadingsCsv(KNOWN, input)][input.length % 3] },
];

function firstNaN(value, path) {
  if (typeof value === "number") return Number.isNaN(value) ? path : undefined;
  if (typeof value !== "object" || value === null) return undefined;
  for (const [key, each] of Object.entries(value)) {
    const found = firstNaN(each, `${path}.${key}`);
    if (found !== undefined) return found;
  }
  return undefined;
}

function complaint(outcome, tookMs, typed) {
  if (tookMs > SLOWEST_MS) return `took ${tookMs.toFixed(0)} ms`;
  if (outcome.status === "read") {
    const nan = firstNaN(outcome.value, "value");
    return nan === undefined ? undefined : `NaN at ${nan}`;
  }
  if (outcome.status !== "refused" || outcome.problems.length === 0) return "neither read nor refused";
  const isBare = (text) => /undefined|\bNaN\b/.test(text) && !/undefined|NaN/.test(typed);
  const bad = outcome.problems.find((problem) => [problem.source, problem.found, problem.expected].some((part) => typeof part !== "string" || part === "") || isBare(problem.expected));
  return bad === undefined ? undefined : `a problem that is not located or not told: ${JSON.stringify(bad)}`;
}

/** Time of this process's own work, so that a busy machine does not make an input look slow. */
function cpuMsSince(from) {
  const used = process.cpuUsage(from);
  return (used.user + used.system) / 1000;
}

function main() {
  const counts = {};
  let slowestMs = 0;
  console.log(`fuzz: ${RUNS} inputs, seed ${SEED}`);
  for (let run = FROM; run < FROM + RUNS; run += 1) {
    const r = streamOf(SEED + run);
    const subject = SUBJECTS[run % SUBJECTS.length];
    const input = subject.input(r);
    const from = process.cpuUsage();
    let wrong;
    try {
      const outcome = subject.read(input);
      const tookMs = cpuMsSince(from);
      slowestMs = Math.max(slowestMs, tookMs);
      wrong = complaint(outcome, tookMs, JSON.stringify(input) ?? "");
      const count = (counts[subject.name] ??= { read: 0, refused: 0 });
      count[outcome.status] += 1;
    } catch (error) {
      wrong = `threw ${error instanceof Error ? error.stack : String(error)}`;
    }
    if (wrong !== undefined) {
      console.error(`fuzz: ${subject.name}, again by --seed ${SEED} --from ${run} --runs 1: ${wrong}\n${typeof input === "string" ? JSON.stringify(input) : JSON.stringify(input, undefined, 1)}`);
      process.exit(1);
    }
  }
  for (const [name, count] of Object.entries(counts)) console.log(`  ${name.padEnd(12)} read ${count.read}, refused ${count.refused}`);
  console.log(`fuzz: nothing threw, no NaN, slowest ${slowestMs.toFixed(1)} ms of work`);
}

main();
