/**
 * How fast the adjustment is, on invented boards: node tests/speed/speed.mjs [--repeats N] [--short] [--json] [--with-python]    (runs on dist)
 * 23 places x 3 lines x 2 surfaces with rockers, scatters integrated, uncertainties of all heights; growth to 2,300 places; the same model in numpy and scipy.
 * By the clock, which is what is waited for, and in processor time, in which a busy machine counts less, but what the engine collects and compiles on threads of its own counts too.
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { along } from "../../dist/survey/estimation/expectationPropagation.js";
import { integrated } from "../../dist/survey/estimation/integral.js";
import { scatterLook, scattersAt } from "../../dist/survey/estimation/scatterGrid.js";
import { rowVariances } from "../../dist/survey/linear/arrow.js";
import { fretMixture } from "../../dist/survey/model/fretClasses.js";
import { fretDeviationRow } from "../../dist/survey/model/layout.js";
import { OWN_BOW_MIXTURE, ownBowsToTell, priorOf } from "../../dist/survey/model/prior.js";
import { CENTRE } from "../../dist/survey/model/scatters.js";
import { longBoard } from "./board.mjs";
import { planSpeed, planSpeedWords } from "./plan.mjs";
import { bowPrinted, bowSpeed } from "./bow.mjs";

const GOAL_MS = 10;
/** Made by --with-python, beside .venv, which is for notebooks. */
const VENV = fileURLToPath(new URL("../../.venv-speed", import.meta.url));
const VENV_PYTHONS = [`${VENV}/bin/python`, `${VENV}/Scripts/python.exe`];

/** The whole numerical work of a survey whose equations stand: scatters integrated, then mean and uncertainty of every height. */
export function heightsOf({ layout, equations, settings, rows }, noted = () => {}) {
  const look = scatterLook(layout, equations, settings);
  const points = integrated((at, start, settledAt) => {
    const seen = look(at, start, settledAt);
    noted(at, settledAt, seen);
    return seen;
  }, undefined, undefined, layout.stations.length);
  if (points.length === 0) throw new Error("Cannot time the adjustment: it found no posterior on the invented board (has the model changed under tests/speed/board.mjs?)");
  const mean = new Float64Array(rows.length);
  const square = new Float64Array(rows.length);
  for (const { weight, posterior } of points) {
    const variances = rowVariances(posterior.factor, rows);
    for (let index = 0; index < rows.length; index++) {
      const value = along(rows[index], posterior.mean);
      mean[index] += weight * value;
      square[index] += weight * (variances[index] + value * value);
    }
  }
  return { mean, u: square.map((value, index) => Math.sqrt(Math.max(0, value - mean[index] ** 2))), points: points.length, weightOf: new Map(points.map(({ posterior, weight }) => [posterior, weight])) };
}

/** The engine compiles what runs often, for some hundred runs, on threads of its own, whose time counts as this process's: so many go before, or as many as take so long; none if there is to be only one. */
const WARM_UP = 120;
const WARM_UP_MS = 3000;

/** Median and least processor and wall time of a run, ms, warmed up first. */
export function timed(run, repeats) {
  const begun = performance.now();
  if (repeats > 1) for (let k = 0; k < WARM_UP && performance.now() - begun < WARM_UP_MS; k++) run();
  const times = Array.from({ length: repeats }, () => {
    const [wall, cpu] = [performance.now(), process.cpuUsage()];
    run();
    const used = process.cpuUsage(cpu);
    return { cpuMs: (used.user + used.system) / 1000, wallMs: performance.now() - wall };
  });
  const sorted = (key) => times.map((time) => time[key]).sort((a, b) => a - b);
  const cpu = sorted("cpuMs");
  const wall = sorted("wallMs");
  return { repeats, cpuMs: { median: cpu[repeats >> 1], least: cpu[0] }, wallMs: { median: wall[repeats >> 1], least: wall[0] } };
}

function grown(places, edgeMm, repeats) {
  const board = longBoard(places, edgeMm);
  let [looks, sweeps, points] = [0, 0, 0];
  const run = () => {
    [looks, sweeps] = [0, 0];
    ({ points } = heightsOf(board, (_at, _settledAt, seen) => {
      looks += 1;
      sweeps += seen?.posterior.sweeps ?? 0;
    }));
  };
  const time = timed(run, repeats);
  return { places, heights: board.rows.length, readings: board.equations.length, settings: board.settings, ...time, looks, sweeps, points };
}

/** The same problem and the same places among the scatters with their weights, for speed.py: what it finds there is its own. */
function forPython(board, repeats) {
  const visits = [];
  const { mean, u, weightOf } = heightsOf(board, (at, settledAt, seen) => visits.push({ at, settledAt, posterior: seen?.posterior }));
  const { layout, equations } = board;
  const prior = priorOf(layout, board.settings);
  const frets = layout.stations.map((_, station) => layout.lines.map((line) => fretDeviationRow(layout, line, station)));
  const bows = ownBowsToTell(layout).map((at) => [{ index: [at], coefficient: [1] }]);
  const fretsAt = (scatters) => fretMixture(layout.lines.length, layout.ends, scatters);
  const group = (sites, { baseSd, widest, beyond }) => ({ sites, baseSd, widest, beyond });
  const kinds = ({ classes }) => classes.map(({ weight, mean: centre, precision, logPrecision }) => ({ weight, mean: [...centre], precision: [...precision], logPrecision }));
  const finite = (value) => (Number.isFinite(value) ? value : value > 0 ? 1e9 : -1e9);
  return {
    repeats, size: prior.shape.banded + prior.shape.border, prior: prior.terms, roughRank: prior.roughRank, groups: [group(frets, fretsAt(CENTRE)), group(bows, OWN_BOW_MIXTURE)],
    equations: equations.map(({ row, lowMm, highMm, sMm }) => ({ row, low: finite(lowMm), high: finite(highMm), s: sMm })),
    visits: visits.map(({ at, settledAt, posterior }) => {
      const scatters = scattersAt(at);
      return { at, settledAt, weight: weightOf.get(posterior) ?? 0, roughnessMm: scatters.roughnessMm, classes: [kinds(fretsAt(scatters)), kinds(OWN_BOW_MIXTURE)] };
    }),
    heights: board.rows, mean: [...mean], u: [...u],
  };
}

function foundPython() {
  return [process.env["PYTHON"], ...VENV_PYTHONS, "python3"].find((one) => one !== undefined && spawnSync(one, ["-c", "import numpy, scipy"]).status === 0);
}

function inPython(board, repeats) {
  const script = fileURLToPath(new URL("speed.py", import.meta.url));
  const python = foundPython();
  if (python === undefined) return { status: "not run", why: "no Python found that can import numpy and scipy (npm run speed -- --with-python makes one in .venv-speed, or set PYTHON)" };
  const run = spawnSync(python, [script], { input: JSON.stringify(forPython(board, repeats)), maxBuffer: 1e8, encoding: "utf8", env: { ...process.env, OPENBLAS_NUM_THREADS: "1", OMP_NUM_THREADS: "1" } });
  if (run.status !== 0) return { status: "not run", why: run.stderr.trim().split("\n").at(-1) ?? "" };
  return { status: "run", ...JSON.parse(run.stdout) };
}

function printed({ survey, growth, python }) {
  const line = ({ places, heights, readings, settings, cpuMs, wallMs, sweeps, points }) =>
    [places, heights, readings, settings, points, sweeps, cpuMs.median.toFixed(1), cpuMs.least.toFixed(1), wallMs.median.toFixed(1), (cpuMs.median / places).toFixed(3)].map((text) => String(text).padStart(9)).join("");
  const head = ["places", "heights", "readings", "settings", "points", "sweeps", "cpu ms", "least", "wall ms", "ms/place"].map((text) => text.padStart(9)).join("");
  const verdict = survey.wallMs.median <= GOAL_MS ? "reached" : "not reached";
  return [
    `23 places x 3 lines x 2 surfaces with rockers, scatters integrated, uncertainties of all heights: median ${survey.wallMs.median.toFixed(1)} ms by the clock (goal ${GOAL_MS} ms: ${verdict}), ${survey.cpuMs.median.toFixed(1)} ms of processor time`,
    head, line(survey), "",
    "growth, edges as long as the board:", head, ...growth.longEdges.map(line), "",
    "growth, a 460 mm edge set down again and again:", head, ...growth.shortEdges.map(line), "",
    python.status === "run"
      ? `the same in numpy ${python.numpy} and scipy ${python.scipy}, at the same places and weights among the scatters: median ${python.cpuMs.median.toFixed(1)} ms, least ${python.cpuMs.least.toFixed(1)} ms (${(python.cpuMs.median / survey.cpuMs.median).toFixed(1)} times); heights differ by at most ${python.mostShift.toFixed(4)} u, u by ${(100 * python.mostOfU).toFixed(2)} %`
      : `numpy and scipy beside it: ${python.status}, ${python.why}`,
  ].join("\n");
}

/** A Python with numpy and scipy, in a folder of its own. */
function madePython() {
  const run = (command, ...words) => spawnSync(command, words, { stdio: "inherit" }).status === 0;
  const made = run("python3", "-m", "venv", VENV) && VENV_PYTHONS.some((python) => run(python, "-m", "pip", "install", "--quiet", "numpy", "scipy"));
  if (!made) console.error(`Cannot make a Python in ${VENV}: expected python3 with venv, and a package index within reach`);
}

if (process.argv[1]?.endsWith("speed.mjs")) {
  const { values } = parseArgs({ options: { repeats: { type: "string", default: "40" }, short: { type: "boolean", default: false }, json: { type: "boolean", default: false }, "with-python": { type: "boolean", default: false } } });
  if (values["with-python"]) madePython();
  const repeats = Number(values.repeats);
  const sizes = values.short ? [23, 230] : [23, 230, 2300];
  const survey = grown(23, undefined, repeats);
  const several = (places) => Math.max(1, Math.round((repeats * 23) / places));
  const report = {
    survey,
    growth: { longEdges: sizes.map((places) => grown(places, undefined, several(places))), shortEdges: sizes.map((places) => grown(places, 460, several(places))) },
    python: inPython(longBoard(23), Math.max(3, Math.round(repeats / 8))),
    bow: bowSpeed(Math.max(5, Math.round(repeats / 2)), foundPython()),
    plan: await planSpeed(Math.max(5, Math.round(repeats / 2))),
  };
  console.log(values.json ? JSON.stringify(report, undefined, 2) : `${printed(report)}\n\n${bowPrinted(report.bow)}\n\n${planSpeedWords(report.plan)}`);
}
