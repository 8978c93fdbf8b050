import { NORMAL_95 } from "../../units/measured.js";
import { normalCdf, normalDensity } from "./normal.js";

/** A normal with its share of a mixture; shares sum to 1. */
export type NormalPart = { readonly weight: number; readonly mean: number; readonly sd: number };

/** Mean and standard deviation. */
export type Moments = { readonly value: number; readonly u: number };

/** Mean and standard deviation of a mixture of normals. */
export function mixtureMoments(parts: readonly NormalPart[]): Moments {
  const value = parts.reduce((sum, { weight, mean }) => sum + weight * mean, 0);
  return { value, u: Math.sqrt(parts.reduce((sum, { weight, mean, sd }) => sum + weight * (sd ** 2 + (mean - value) ** 2), 0)) };
}

/** Newton's steps towards a quantile settle when they come to this share of the standard deviation. */
const SETTLED = 1e-4;
const MOST_STEPS = 60;
const TAIL = normalCdf(-NORMAL_95);

/** The central 95 % of a mixture of normals, which may lie about its mean unevenly. Parts without a spread are left out, unless there are no others. */
export function mixtureCentral95(parts: readonly NormalPart[]): { readonly low95: number; readonly high95: number } {
  const moments = mixtureMoments(parts);
  const spread = parts.filter(({ sd }) => sd > 0);
  return spread.length === 0 ? { low95: moments.value, high95: moments.value } : { low95: quantile(spread, TAIL, moments), high95: quantile(spread, 1 - TAIL, moments) };
}

/** Where the share below comes to `below`: Newton's steps from where a single normal has it, halved back between bounds that hold it. */
function quantile(parts: readonly NormalPart[], below: number, { value, u }: Moments): number {
  const all = parts.reduce((sum, { weight }) => sum + weight, 0);
  let low = Math.min(...parts.map(({ mean, sd }) => mean - 8 * sd));
  let high = Math.max(...parts.map(({ mean, sd }) => mean + 8 * sd));
  let at = value + (below < 0.5 ? -NORMAL_95 : NORMAL_95) * u;
  for (let step = 0; step < MOST_STEPS; step++) {
    const { share, density } = cumulated(parts, at);
    const over = share - below * all;
    if (over < 0) low = at;
    else high = at;
    const next = at - over / density;
    const by = (next > low && next < high ? next : (low + high) / 2) - at;
    at += by;
    if (!(Math.abs(by) > SETTLED * u)) break;
  }
  return at;
}

/** The parts' weight below a place, and its density there. */
function cumulated(parts: readonly NormalPart[], at: number): { readonly share: number; readonly density: number } {
  let [share, density] = [0, 0];
  for (const { weight, mean, sd } of parts) {
    const z = (at - mean) / sd;
    share += weight * normalCdf(z);
    density += (weight * normalDensity(z)) / sd;
  }
  return { share, density };
}
