// What each cell of a notebook costs: the kernel's compiler apart from what the cell does.
import { readFileSync } from "node:fs";

/** @typedef {{ number: number, wallMs: number, cpuMs: number, compilerMs: number, kilobytes: number }} CellTime `cpuMs` and `compilerMs` are processor time of the kernel's own thread where the system tells it */

/** @returns {number} processor time of the main thread, ms: unlike the clock it does not count what other programs do meanwhile */
function processorMs() {
  const usage = Reflect.get(process, "threadCpuUsage"); // Node 23.9 and newer
  if (typeof usage === "function") {
    const { user, system } = Reflect.apply(usage, process, []);
    return (user + system) / 1000;
  }
  try {
    const fields = readFileSync(`/proc/self/task/${process.pid}/stat`, "utf8").split(") ")[1]?.split(" ") ?? [];
    return (Number(fields[11]) + Number(fields[12])) * 10; // hundredths of a second
  } catch {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  }
}

/** @template {{ convert: (before: string, source: string) => unknown }} Converter @param {Converter} kernelsConverter */
export function measured(kernelsConverter) {
  /** @type {CellTime[]} */
  const cells = [];
  let [wall, cpu, compiler] = [0, 0, 0];
  const converter = {
    ...kernelsConverter,
    convert: (/** @type {string} */ before, /** @type {string} */ source) => {
      const from = processorMs();
      try {
        return kernelsConverter.convert(before, source);
      } finally {
        compiler += processorMs() - from;
      }
    },
  };
  const begin = () => void ([wall, cpu, compiler] = [performance.now(), processorMs(), 0]);
  const end = (/** @type {number} */ number, /** @type {readonly unknown[]} */ outputs) =>
    void cells.push({ number, wallMs: performance.now() - wall, cpuMs: processorMs() - cpu, compilerMs: compiler, kilobytes: JSON.stringify(outputs).length / 1024 });
  return { converter, begin, end, cells: () => cells };
}

/** @param {readonly number[]} values */
const median = (values) => [...values].sort((a, b) => a - b)[Math.floor((values.length - 1) / 2)] ?? NaN;

/** @param {readonly CellTime[]} cells @returns {string} a row a cell, and the median of all but the first, which also loads the library */
export function timesTable(cells) {
  const row = (/** @type {readonly string[]} */ parts) => `${parts.map((part) => part.padStart(12)).join("")}\n`;
  const later = cells.slice(1);
  return [
    row(["cell", "by clock", "processor", "of it types", "output"]),
    ...cells.map((cell) => row([String(cell.number), `${cell.wallMs.toFixed(0)} ms`, `${cell.cpuMs.toFixed(0)} ms`, `${cell.compilerMs.toFixed(0)} ms`, `${cell.kilobytes.toFixed(0)} KB`])),
    row(["later cells", `${median(later.map(({ wallMs }) => wallMs)).toFixed(0)} ms`, `${median(later.map(({ cpuMs }) => cpuMs)).toFixed(0)} ms`, `${median(later.map(({ compilerMs }) => compilerMs)).toFixed(0)} ms`, "median"]),
  ].join("");
}
