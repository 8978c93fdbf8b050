/**
 * How fast the bow model is: a neck made ready, and one draw of a whole order of work (fretted board, glue-up, rod, strings to second order, season, years);
 * the same draws in numpy beside it, in the same run. CPU time of this process. Used by speed.mjs; alone: node tests/speed/bow.mjs
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { believedDraws, bowModel, drawWork, prepareBow, prepareWork, readNeck, reliefAfter, valueOrThrow } from "../../dist/index.js";

const SETUP_GOAL_MS = 1;
const DRAW_GOAL_MS = 0.1;
const WORK = { frets: "before glue-up", rodTurns: 0.5, strings: true, season: true, years: true };

/** A neck of the speed run's own; invented. */
const NECK = {
  name: "speed", scaleLength: 648, frets: 22, bodyJoint: 16, zeroFret: false, widths: { nut: 43, lastFret: 56 }, fingerboardRadius: { nut: 254, lastFret: 406 }, backShape: 2.2,
  thicknesses: { board: { nut: 6, lastFret: 6 }, total: { 1: 20.5, 12: 22.5 } }, woods: { board: "indian rosewood", neck: "hard maple" },
  slots: { width: 0.56, depth: 3 }, tangs: { thickness: 0.59, contactDepth: 2.4 }, rod: { works: "both ways", from: 10, to: 420, spacing: 6, lead: 0.8, channelWidth: 6, channelDepth: 10 },
};

/** Median CPU time of one call, ms, in batches large enough for the clock. */
function cpuMs(run, batch, repeats) {
  run();
  const times = Array.from({ length: repeats }, () => {
    const from = process.cpuUsage();
    for (let call = 0; call < batch; call++) run();
    const used = process.cpuUsage(from);
    return (used.user + used.system) / 1000 / batch;
  });
  return times.sort((a, b) => a - b)[repeats >> 1];
}

/** What speed of the bow model there is, and numpy's. */
export function bowSpeed(repeats = 20, python = process.env["PYTHON"] ?? "python3") {
  const neck = valueOrThrow(readNeck(NECK), "the speed run's neck");
  const model = bowModel(neck, { season: { from: { humidityPercent: 50, celsius: 20 }, to: { humidityPercent: 30, celsius: 20 } } });
  const prepared = prepareWork(model.setup, WORK);
  const draws = believedDraws(model.belief, 2000, 7);
  let at = 0;
  const setupMs = cpuMs(() => prepareWork(prepareBow(neck, model.setup), WORK), 50, repeats);
  const drawMs = cpuMs(() => drawWork(prepared, draws[at++ % draws.length]), 2000, repeats);
  const finals = draws.map((unknowns) => reliefAfter(prepared, unknowns));
  return { setupMs, drawMs, points: model.setup.grid.pointMm.length, python: inPython(python, model.setup, draws, finals, repeats) };
}

function inPython(python, setup, draws, finals, repeats) {
  if (spawnSync(python, ["-c", "import numpy"]).status !== 0) return { status: "not run", why: `${python} cannot import numpy (set PYTHON to one that can)` };
  const plain = (_, value) => (ArrayBuffer.isView(value) ? Array.from(value) : value === Infinity ? 1e300 : value);
  const { grid, points, atSlots, slots, slotNode, jointNode, influence, moduli, pull, rod } = setup;
  const input = JSON.stringify({ grid, points, atSlots, slots, slotNode, jointNode, influence, moduli, pull, rod, rodTurns: WORK.rodTurns, draws, finals, repeats: Math.max(3, Math.round(repeats / 4)) }, plain);
  const run = spawnSync(python, [fileURLToPath(new URL("bow.py", import.meta.url))], { input, maxBuffer: 1e8, encoding: "utf8", env: { ...process.env, OPENBLAS_NUM_THREADS: "1", OMP_NUM_THREADS: "1" } });
  if (run.status !== 0) return { status: "not run", why: run.stderr.trim().split("\n").at(-1) ?? "" };
  return { status: "run", ...JSON.parse(run.stdout) };
}

/** The bow model's speed in lines of text. */
export function bowPrinted({ setupMs, drawMs, points, python }) {
  const verdict = (ms, goal) => `${ms.toFixed(3)} ms (goal ${goal} ms: ${ms <= goal ? "reached" : "not reached"})`;
  return [
    `bow model, ${points} sections: a neck made ready ${verdict(setupMs, SETUP_GOAL_MS)}; one draw of a whole order of work ${verdict(drawMs, DRAW_GOAL_MS)}`,
    python.status === "run"
      ? `the same draws in numpy ${python.numpy}: one at a time ${python.oneMs.toFixed(3)} ms (${(python.oneMs / drawMs).toFixed(1)} times), 2,000 at once ${python.batchMs.toFixed(3)} ms a draw (${(python.batchMs / drawMs).toFixed(1)} times); final reliefs differ by at most ${python.mostShiftMm.toExponential(1)} mm`
      : `numpy beside it: ${python.status}, ${python.why}`,
  ].join("\n");
}

if (process.argv[1]?.endsWith("bow.mjs")) console.log(bowPrinted(bowSpeed()));
