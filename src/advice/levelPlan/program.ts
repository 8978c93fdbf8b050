/** One unknown of a linear program; `whole` unknowns are 0 or 1. */
export type ProgramColumn = { readonly name: string; readonly cost: number; readonly low: number; readonly high: number; readonly whole?: boolean };

/** One constraint: a weighted sum of unknowns lies between `low` and `high`. */
export type ProgramRow = { readonly name: string; readonly terms: readonly (readonly [column: string, weight: number])[]; readonly low: number; readonly high: number };

/** A linear program whose cost is to be least; some unknowns may be whole. */
export type MixedProgram = { readonly columns: readonly ProgramColumn[]; readonly rows: readonly ProgramRow[] };

/**
 * What a solver says of a program. `optimal` is claimed only where nothing better can exist (gap 0).
 * Duals, where there are no whole unknowns: what one unit more of a row's limit, or of a column's bound, does to the least cost.
 */
export type ProgramSolution =
  | { readonly status: "optimal"; readonly cost: number; readonly values: ReadonlyMap<string, number>; readonly rowDuals: ReadonlyMap<string, number>; readonly columnDuals: ReadonlyMap<string, number> }
  | { readonly status: "infeasible" }
  | { readonly status: "failed"; readonly why: string };

/** A solver that was loaded by whoever calls: the core loads none by itself. */
export type SolveProgram = (program: MixedProgram) => ProgramSolution;

const LOW_SUFFIX = "_low";
const HIGH_SUFFIX = "_high";

/**
 * A program as text in the common LP format, numbers with all their digits.
 * A row with two different limits becomes two rows, named with `_low` and `_high` behind; names must be plain words.
 */
export function programText({ columns, rows }: MixedProgram): string {
  const cost = columns.filter((column) => column.cost !== 0).map((column) => [column.name, column.cost] as const);
  const whole = columns.filter((column) => column.whole === true).map((column) => column.name);
  return [
    "Minimize", ` cost: ${sumText(cost)}`, "Subject To", ...rows.flatMap(rowTexts),
    "Bounds", ...columns.map(boundText),
    ...(whole.length === 0 ? [] : ["Binary", ` ${whole.join(" ")}`]), "End", "",
  ].join("\n");
}

/** Sum of the duals of the text's rows that stand for one row of the program. */
export function rowDual(duals: ReadonlyMap<string, number>, name: string): number {
  return (duals.get(name) ?? 0) + (duals.get(`${name}${LOW_SUFFIX}`) ?? 0) + (duals.get(`${name}${HIGH_SUFFIX}`) ?? 0);
}

function rowTexts({ name, terms, low, high }: ProgramRow): readonly string[] {
  const sum = sumText(terms);
  if (low === high) return [` ${name}: ${sum} = ${low}`];
  return [...(low === -Infinity ? [] : [` ${name}${LOW_SUFFIX}: ${sum} >= ${low}`]), ...(high === Infinity ? [] : [` ${name}${HIGH_SUFFIX}: ${sum} <= ${high}`])];
}

function sumText(terms: readonly (readonly [string, number])[]): string {
  return terms.filter(([, weight]) => weight !== 0).map(([name, weight]) => `${weight < 0 ? "-" : "+"} ${Math.abs(weight)} ${name}`).join(" ");
}

function boundText({ name, low, high }: ProgramColumn): string {
  if (low === -Infinity && high === Infinity) return ` ${name} free`;
  return ` ${low === -Infinity ? "-inf" : low} <= ${name} <= ${high === Infinity ? "+inf" : high}`;
}
