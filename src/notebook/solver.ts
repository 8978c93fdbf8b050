import { createRequire } from "node:module";
import { programText, type ProgramSolution, type SolveProgram } from "../advice/levelPlan/program.js";
import { toldPlainly } from "./plainly.js";

/** What is used of the solver's package; its own types are not published with ours. */
type Highs = { readonly solve: (model: string, options: Readonly<Record<string, number | string | boolean>>) => unknown };

/** The optimum is proven: no gap is left, and limits are kept far below what is read. */
const PROVEN = { mip_rel_gap: 0, mip_abs_gap: 0, mip_feasibility_tolerance: 1e-9, primal_feasibility_tolerance: 1e-9, dual_feasibility_tolerance: 1e-9, threads: 1 } as const;

let loaded: Promise<SolveProgram> | undefined;

/**
 * Load the solver that works out a level plan, once; some tenths of a second.
 *
 *     const solve = await loadSolver();
 */
export function loadSolver(): Promise<SolveProgram> {
  loaded ??= opened();
  return loaded;
}

async function opened(): Promise<SolveProgram> {
  const load: unknown = createRequire(import.meta.url)("highs");
  if (typeof load !== "function") throw toldPlainly("Cannot load the solver: the package highs is not what was expected (run npm ci)");
  const highs: unknown = await load();
  if (!isHighs(highs)) throw toldPlainly("Cannot load the solver: the package highs did not start (run npm ci)");
  return (program) => solved(highs, program);
}

function solved(highs: Highs, program: Parameters<SolveProgram>[0]): ProgramSolution {
  try {
    return solutionOf(highs.solve(programText(program), PROVEN));
  } catch (error) {
    return { status: "failed", why: error instanceof Error ? error.message : String(error) };
  }
}

function solutionOf(found: unknown): ProgramSolution {
  if (typeof found !== "object" || found === null || !("Status" in found)) return { status: "failed", why: "it gave no status" };
  if (found.Status === "Infeasible") return { status: "infeasible" };
  if (found.Status !== "Optimal" || !("ObjectiveValue" in found) || typeof found.ObjectiveValue !== "number" || !("Columns" in found) || !("Rows" in found)) return { status: "failed", why: String(found.Status) };
  const columns = Object.entries(found.Columns ?? {}) as readonly (readonly [string, unknown])[];
  const rows = Array.isArray(found.Rows) ? (found.Rows as readonly unknown[]) : [];
  return {
    status: "optimal", cost: found.ObjectiveValue,
    values: new Map(columns.map(([name, column]) => [name, numberIn(column, "Primal") ?? NaN])),
    columnDuals: new Map(columns.map(([name, column]) => [name, numberIn(column, "Dual") ?? 0])),
    rowDuals: new Map(rows.map((row) => [nameOf(row), numberIn(row, "Dual") ?? 0])),
  };
}

function numberIn(thing: unknown, key: string): number | undefined {
  const value: unknown = typeof thing === "object" && thing !== null ? Reflect.get(thing, key) : undefined;
  return typeof value === "number" ? value : undefined;
}

function nameOf(thing: unknown): string {
  const name: unknown = typeof thing === "object" && thing !== null ? Reflect.get(thing, "Name") : undefined;
  return typeof name === "string" ? name : "";
}

function isHighs(thing: unknown): thing is Highs {
  return typeof thing === "object" && thing !== null && "solve" in thing && typeof thing.solve === "function";
}
