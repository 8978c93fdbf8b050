/**
 * How fast a level plan is: 22 frets x 3 lines, every fret that stands up may be reseated, two at most, the rod free; invented tops.
 * node tests/speed/plan.mjs [--repeats N] [--json]    (runs on dist); CPU time of this process beside wall time, so that a busy machine counts less.
 */
import { parseArgs } from "node:util";
import { levelPlan } from "../../dist/advice/levelPlan/levelPlan.js";
import { fretDistanceMm } from "../../dist/neck/frets.js";
import { inventedStream } from "../../dist/invented/stream.js";
import { loadSolver } from "../../dist/notebook/solver.js";

const GOAL_MS = 200;
const LINES = ["bass", "centre", "treble"];

/** Seating normal with sd 0.008 mm, one fret in ten 0.04 to 0.14 mm high, each end off by sd 0.003 mm, relief 0.1 mm; crowns can give 0.25 mm. */
export function levelProblem(number) {
  const stream = inventedStream(1, "speed/plan", number);
  const x = (fret) => fretDistanceMm(648, fret);
  const share = (fret) => (4 * (x(fret) - x(1)) * (x(22) - x(fret))) / (x(22) - x(1)) ** 2;
  const frets = Array.from({ length: 22 }, (_, index) => ({ fret: index + 1, upMm: stream.normal(0, 0.008) + (stream.chance(0.1) ? stream.uniform(0.04, 0.14) : 0) }));
  const tops = LINES.flatMap((line, index) => frets.map(({ fret, upMm }) => {
    const offMm = upMm + stream.normal(0, 0.003);
    return { fret, line, xMm: x(fret), yMm: 18 * (index - 1), heightMm: offMm - 0.1 * share(fret), ...(offMm > 0 ? { dropMm: offMm } : {}), spareMm: 0.25, reliefShare: share(fret), fallAwayMm: 0 };
  }));
  return { tops, datum: "each line its own", toleranceMm: 0.015, reseatMax: 2, rod: { lowMm: -0.2, highMm: 0.2 } };
}

/** Median CPU and wall time of a plan over several necks, ms. */
export async function planSpeed(repeats = 20) {
  const solve = await loadSolver();
  levelPlan(levelProblem(repeats), solve);
  const times = Array.from({ length: repeats }, (_, number) => {
    const problem = levelProblem(number);
    const [wall, cpu] = [performance.now(), process.cpuUsage()];
    const plan = levelPlan(problem, solve);
    const used = process.cpuUsage(cpu);
    return { status: plan.status, cpuMs: (used.user + used.system) / 1000, wallMs: performance.now() - wall };
  });
  const median = (key) => times.map((time) => time[key]).sort((a, b) => a - b)[repeats >> 1];
  return { what: "level plan, 22 frets x 3 lines, 2 reseats, rod free", repeats, planned: times.filter(({ status }) => status === "planned").length, goalMs: GOAL_MS, cpuMs: median("cpuMs"), wallMs: median("wallMs") };
}

/** The same in a line of words. */
export function planSpeedWords({ what, repeats, planned, goalMs, cpuMs, wallMs }) {
  return `${what}: median ${cpuMs.toFixed(1)} ms of CPU, ${wallMs.toFixed(1)} ms by the clock, over ${repeats} necks, ${planned} planned (goal ${goalMs} ms: ${cpuMs <= goalMs ? "reached" : "not reached"})`;
}

if (process.argv[1]?.endsWith("plan.mjs")) {
  const { values } = parseArgs({ options: { repeats: { type: "string", default: "20" }, json: { type: "boolean", default: false } } });
  const report = await planSpeed(Number(values.repeats));
  console.log(values.json ? JSON.stringify(report, undefined, 2) : planSpeedWords(report));
}
