import { cureBy } from "./cure.js";
import type { CureKind, Tried } from "./cures.js";
import type { CrownTop, StringPoint } from "./pressed.js";

/** One of two changes that cure together: how much of it, mm. */
export type CureShare = { readonly by: CureKind; /** The fret that is taken down, where a single one is. */ readonly fret?: number; readonly amountMm: number };

/** More of a change than this is no cure that anybody would make, mm (own judgement, no source). */
const MOST_MM = 1;
/** The first of two amounts is tried in steps of this, mm: nobody sets one finer. */
const STEP_MM = 0.01;

/**
 * The two changes that give every pressed string the wanted clearance together with the least of both, as far as any two do.
 * @param wantedMm clearance that every pressed string should have, mm
 */
export function curePair(tops: readonly CrownTop[], saddle: StringPoint, wantedMm: number, changes: readonly Tried[]): readonly [CureShare, CureShare] | undefined {
  const found = pairsOf(changes).flatMap(([first, second]) => leastOf(tops, saddle, wantedMm, first, second) ?? []);
  return found.sort((a, b) => sumMm(a) - sumMm(b))[0]?.shares;
}

type Found = { readonly shares: readonly [CureShare, CureShare] };

function sumMm({ shares: [a, b] }: Found): number {
  return a.amountMm + b.amountMm;
}

/** Two at a time; relief both ways at once is none. */
function pairsOf(changes: readonly Tried[]): readonly (readonly [Tried, Tried])[] {
  const isRelief = ({ by }: Tried): boolean => by === "more relief" || by === "less relief";
  return changes.flatMap((first, index) => changes.slice(index + 1).filter((second) => !(isRelief(first) && isRelief(second))).map((second) => [first, second] as const));
}

function leastOf(tops: readonly CrownTop[], saddle: StringPoint, wantedMm: number, first: Tried, second: Tried): Found | undefined {
  let best: Found | undefined;
  for (let step = 1; step * STEP_MM <= MOST_MM; step++) {
    const amountMm = step * STEP_MM;
    if (best !== undefined && amountMm >= sumMm(best)) return best;
    const changed = tops.map((top) => ({ ...top, heightMm: top.heightMm - amountMm * first.change(top) }));
    const rest = cureBy(changed, saddle, wantedMm, second.change);
    if (rest.status !== "cures" || rest.amountMm > MOST_MM) continue;
    const found: Found = { shares: [share(first, amountMm), share(second, rest.amountMm)] };
    if (best === undefined || sumMm(found) < sumMm(best)) best = found;
  }
  return best;
}

function share({ by, fret }: Tried, amountMm: number): CureShare {
  return { by, ...(fret === undefined ? {} : { fret }), amountMm };
}
