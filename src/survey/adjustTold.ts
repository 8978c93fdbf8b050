import type { Neck } from "../neck/neck.js";
import type { SurveySheet } from "../readings/reading.js";
import { scattersAt, scatterLook, stepOf } from "./estimation/scatterGrid.js";
import type { Seen, Step } from "./estimation/scatterTop.js";
import { momentsOfForms } from "./functional.js";
import type { Moments } from "./likelihood/normalMixture.js";
import { equationsOf } from "./model/equations.js";
import { combined, fretTopRow, layoutOf, smoothRow } from "./model/layout.js";
import { CENTRE } from "./model/scatters.js";
import { usableReadings } from "./model/stations.js";

/** Sites move by no more than this share of their standard deviation, as in `adjust`. */
const SETTLED = 1e-2;

/** Roughnesses looked at, in standard deviations of the prior's logarithm. */
const ROUGHNESSES = [-1, -0.5, 0, 0.5, 1, 1.5, 2] as const;

/** What only the maker of an invented neck can know: the seating scatter of frets pressed in as intended, and which are far out. */
export type Told = { readonly seatingMm: number; readonly farOut: (fret: number) => boolean };

/** How high a fret top stands over the smooth line on a line, mm, with its standard uncertainty. @throws {RangeError} a fret or line outside what was read */
export type HighOf = (line: string, fret: number) => Moments;

/**
 * For studies only: the same adjustment, told the true seating scatter and which frets are far out, with every reading used and no zone supposed. It is what `adjust` is held against.
 * The roughness is integrated here too, over one row of the grid: an invented line is no random walk and has no true one.
 * @returns how high fret tops stand; undefined where the iteration does not settle
 */
export function adjustTold(neck: Neck, sheet: SurveySheet, { seatingMm, farOut }: Told): HighOf | undefined {
  const usable = usableReadings(neck, sheet);
  const layout = layoutOf(usable);
  const equations = equationsOf(neck, usable, layout, sheet.feelMm);
  const kindOf = (station: number): "far out" | "as intended" => (farOut(layout.stations[station]?.fret ?? -1) ? "far out" : "as intended");
  const look = scatterLook(layout, equations, usable.settings.length, kindOf);
  const [, seating] = stepOf({ ...CENTRE, seatingMm });
  const seen = settledLooks(look, ROUGHNESSES.map((roughness): Step => [roughness, seating]));
  if (seen.length === 0) return undefined;
  const top = Math.max(...seen.map(({ logDensity }) => logDensity));
  const sum = seen.reduce((total, { logDensity }) => total + Math.exp(logDensity - top), 0);
  const grid = seen.map(({ at, posterior, logDensity }) => ({ scatters: scattersAt(at), weight: Math.exp(logDensity - top) / sum, logWeight: logDensity, logDensity, posterior }));
  const tops = layout.stations.flatMap(({ fret, xMm }, station) => (fret === undefined ? [] : layout.lines.map((line) => ({ name: `${line} ${fret}`, row: combined([[1, fretTopRow(layout, line, station)], [-1, smoothRow(layout, line, xMm)]]) }))));
  const heights = momentsOfForms([{ layout, equations, grid, probability: 1 }], tops.map(({ row }) => () => row));
  const known = new Map(tops.map(({ name }, index) => [name, heights[index]]));
  return (line, fret) => {
    const height = known.get(`${line} ${fret}`);
    if (height === undefined) throw new RangeError(`Cannot give the height of fret ${fret} on the ${line} line: expected a fret between the first and the last reading, on a line that was read`);
    return height;
  };
}

/** Each look starts from where the one before it settled. */
function settledLooks(look: ReturnType<typeof scatterLook>, steps: readonly Step[]): readonly Seen[] {
  return steps.reduce<readonly Seen[]>((before, at) => {
    const seen = look(at, before.at(-1)?.posterior.sites, SETTLED);
    return seen?.posterior.converged === true ? [...before, seen] : before;
  }, []);
}
