import type { Standings } from "./estimation/standings.js";
import { smallDot, smallInverse, smallProduct } from "./linear/smallSpd.js";
import { fretClasses } from "./model/fretClasses.js";
import type { FretClass } from "./model/fretClasses.js";
import { CENTRE } from "./model/scatters.js";

/**
 * How much more probable, in the logarithm, the readings become when a zone is supposed, each fret beside that being of one of the usual kinds. Foreseen with each
 * fret alike on all lines, of its one best kind, and the line as rough as it is without zones: a screen, not an answer.
 * @param seatingMm scatter of frets that are pressed in as intended, standard deviation
 * @param raises for each zone how far one of unit height raises each of the standings: frets, then wood
 * @param zone how far zones stand off, mean and standard deviation
 */
export function zoneGains(standings: Standings, seatingMm: number, raises: readonly Float64Array[], zone: ZoneHeight): readonly ZoneGain[] {
  const classes = fretClasses(1, [], { ...CENTRE, seatingMm });
  const alone = ofBestKinds(fretsOf(standings), classes).logEvidence;
  if (!Number.isFinite(alone)) return raises.map(() => ({ gain: -Infinity, heightMm: 0 }));
  return raises.map((raise) => {
    const { without, logFactor, heightMm } = zoneIntegrated(standings, raise, zone);
    const { logEvidence, mean } = ofBestKinds(without, classes);
    return { gain: logEvidence + logFactor - alone, heightMm: heightMm(mean) };
  });
}

/** Mean and standard deviation of a zone's height, mm. */
export type ZoneHeight = { readonly meanMm: number; readonly sdMm: number };

/** What a zone gains, and how far it would stand up, mm. */
export type ZoneGain = { readonly gain: number; readonly heightMm: number };

/** What is said of the frets alone, flat row-major. */
type FretStandings = { readonly precision: Float64Array; readonly shift: Float64Array };

/** The frets' standings where the board stands off nowhere. */
function fretsOf({ stations, precision, shift }: Standings): FretStandings {
  const [size, frets] = [shift.length, stations.length];
  return { precision: Float64Array.from({ length: frets * frets }, (_, at) => precision[Math.floor(at / frets) * size + (at % frets)] ?? 0), shift: shift.slice(0, frets) };
}

/** The standings of the frets over the zone, its normal height integrated. */
function zoneIntegrated(standings: Standings, raise: Float64Array, { meanMm, sdMm }: ZoneHeight): { readonly without: FretStandings; readonly logFactor: number; readonly heightMm: (mean: Float64Array) => number } {
  const frets = standings.stations.length;
  const pull = smallProduct(standings.precision, raise);
  const total = smallDot(pull, raise) + 1 / sdMm ** 2;
  const push = smallDot(standings.shift, raise) + meanMm / sdMm ** 2;
  const alone = fretsOf(standings);
  const without = {
    precision: alone.precision.map((value, at) => value - ((pull[Math.floor(at / frets)] ?? 0) * (pull[at % frets] ?? 0)) / total),
    shift: alone.shift.map((value, i) => value - ((pull[i] ?? 0) * push) / total),
  };
  const ofFrets = pull.subarray(0, frets);
  return { without, logFactor: 0.5 * ((push * push) / total - (meanMm / sdMm) ** 2 - Math.log(total * sdMm ** 2)), heightMm: (mean) => (push - smallDot(ofFrets, mean)) / total };
}

/** Frets' standings as a normal distribution once every fret is of one kind. */
type Joint = { readonly mean: Float64Array; readonly covariance: Float64Array };

/** Probability of the standings, up to a constant, with every fret of one kind, and the frets' means: from all as intended on, the one change that gains most, until none gains. */
function ofBestKinds({ precision, shift }: FretStandings, classes: readonly FretClass[]): { readonly logEvidence: number; readonly mean: Float64Array } {
  const [intended, ...far] = classes;
  const size = shift.length;
  const known = precisionOf(intended);
  const start = smallInverse(precision.map((value, at) => (at % (size + 1) === 0 ? value + known : value)), size);
  if (intended === undefined || start === undefined) return { logEvidence: -Infinity, mean: new Float64Array(size) };
  const joint: Joint = { mean: smallProduct(start.inverse, shift), covariance: start.inverse };
  let logEvidence = 0.5 * (smallDot(shift, joint.mean) - start.logDeterminant) + size * (Math.log(intended.weight) + 0.5 * Math.log(known));
  const kinds: FretClass[] = Array.from({ length: size }, () => intended);
  for (let changes = 0; changes < size; changes++) {
    const best = bestChange(joint, kinds, far);
    if (best === undefined) break;
    logEvidence += best.gain;
    change(joint, best.fret, kinds[best.fret] ?? intended, best.to);
    kinds[best.fret] = best.to;
  }
  return { logEvidence, mean: joint.mean };
}

function bestChange(joint: Joint, kinds: readonly FretClass[], far: readonly FretClass[]): { readonly fret: number; readonly to: FretClass; readonly gain: number } | undefined {
  let best: ReturnType<typeof bestChange>;
  for (const [fret, kind] of kinds.entries()) {
    const rest = withoutKind(joint, fret, kind);
    if (rest === undefined) continue;
    const before = logShare(rest, kind);
    for (const to of far) {
      const gain = logShare(rest, to) - before;
      if (to !== kind && gain > (best?.gain ?? 0)) best = { fret, to, gain };
    }
  }
  return best;
}

/** Mean and variance of one fret as all others and the readings leave it; undefined where they say nothing of it. */
function withoutKind({ mean, covariance }: Joint, fret: number, kind: FretClass): { readonly mean: number; readonly variance: number } | undefined {
  const variance = covariance[fret * (mean.length + 1)] ?? NaN;
  const rest = 1 / variance - precisionOf(kind);
  return rest > 1e-6 / variance ? { mean: ((mean[fret] ?? 0) / variance - precisionOf(kind) * meanOf(kind)) / rest, variance: 1 / rest } : undefined;
}

/** Logarithm of the probability of a kind times the probability that it gives what else is known. */
function logShare({ mean, variance }: { readonly mean: number; readonly variance: number }, kind: FretClass): number {
  const total = variance + 1 / precisionOf(kind);
  return Math.log(kind.weight) - 0.5 * (Math.log(total) + (mean - meanOf(kind)) ** 2 / total);
}

/** One fret becomes of another kind: a change of rank one. */
function change({ mean, covariance }: Joint, fret: number, from: FretClass, to: FretClass): void {
  const size = mean.length;
  const own = covariance.slice(fret * size, (fret + 1) * size);
  const added = precisionOf(to) - precisionOf(from);
  const pushed = precisionOf(to) * meanOf(to) - precisionOf(from) * meanOf(from);
  const share = added / (1 + added * (own[fret] ?? 0));
  const step = (pushed - added * (mean[fret] ?? 0)) / (1 + added * (own[fret] ?? 0));
  for (let i = 0; i < size; i++) {
    mean[i] = (mean[i] ?? 0) + (own[i] ?? 0) * step;
    for (let j = 0; j < size; j++) covariance[i * size + j] = (covariance[i * size + j] ?? 0) - share * (own[i] ?? 0) * (own[j] ?? 0);
  }
}

function precisionOf(kind: FretClass | undefined): number {
  return kind?.precision[0] ?? 0;
}

function meanOf(kind: FretClass): number {
  return kind.mean[0] ?? 0;
}
