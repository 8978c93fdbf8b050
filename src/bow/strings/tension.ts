import type { NeckString } from "../../neck/neck.js";
import { noteFrequencyHz } from "./pitch.js";

/** What strings are made of; of a wound string it is the wrap, its core being steel. */
export type StringMaterial = NonNullable<NeckString["material"]>;

/** kg per cubic metre. Steel: music wire, spring practice (from memory); nickel, bronze: middle of materials tables; nylon: from memory. */
const DENSITY: Readonly<Record<StringMaterial, number>> = { steel: 7850, nickel: 8880, bronze: 8500, nylon: 1140 };

/**
 * Mass of a solid round wire: rho pi d^2 / 4.
 * @param gaugeMm diameter, mm
 * @param densityKgM3 kg per cubic metre
 * @returns kg per metre
 * @example near(plainMassKgM(0.254, 7850), 3.978e-4, { rel: 1e-3 });
 */
export function plainMassKgM(gaugeMm: number, densityKgM3: number): number {
  return (densityKgM3 * Math.PI * (gaugeMm / 1000) ** 2) / 4;
}

/**
 * Mass of a round core wound turn to turn with round wire: rho_core pi d^2/4 + rho_wrap pi^2 w (d + w)/4, w = (D - d)/2.
 * @param gaugeMm diameter over the winding, mm
 * @param coreMm diameter of the core, mm
 * @returns kg per metre
 * @throws {RangeError} a core that is not thinner than the string
 * @source one turn of wrap wire a pitch of its own width; the wrap fills pi/4 of its ring exactly
 */
export function woundMassKgM(gaugeMm: number, coreMm: number, densityCoreKgM3: number, densityWrapKgM3: number): number {
  if (!(coreMm > 0 && coreMm < gaugeMm)) throw new RangeError(`Cannot weigh a wound string of ${gaugeMm} mm: expected a core thinner than that, got ${coreMm} mm`);
  const [d, w] = [coreMm / 1000, (gaugeMm - coreMm) / 2000];
  return (densityCoreKgM3 * Math.PI * d ** 2) / 4 + (densityWrapKgM3 * Math.PI ** 2 * w * (d + w)) / 4;
}

/**
 * Tension of a string that sounds a pitch over a length: T = mu (2 L f)^2 (Mersenne).
 * @param massKgM kg per metre
 * @param lengthMm sounding length, mm
 * @returns N
 * @example near(tensionN(1.25e-3 / 1.6, 1150, 50), 10.332, { abs: 5e-4 });
 */
export function tensionN(massKgM: number, lengthMm: number, frequencyHz: number): number {
  return massKgM * (2 * (lengthMm / 1000) * frequencyHz) ** 2;
}

/** Tension of one string: its standard uncertainty as a share of it, and what had to be assumed. */
export type StringTension = { readonly tensionN: number; readonly shareU: number; readonly assumed: readonly string[] };

/** Own judgement: a stated tension; a plain wire (its gauge enters squared); a wound one with its core known, and with it assumed. */
const SHARE_U = { stated: 0.02, plain: 0.02, wound: 0.04, woundCoreAssumed: 0.07 } as const;

/**
 * Tension of one string of a neck. A stated tension stands as stated; else it follows from gauge, material, winding, pitch and scale.
 * @param which what the string is called in words: `string 2`
 * @param note pitch to take where the string states none
 * @throws {RangeError} a string without pitch, or a core that is not thinner than the string
 */
export function stringTension(string: NeckString, scaleLengthMm: number, which: string, note?: string): StringTension {
  if (string.tensionN !== undefined) return { tensionN: string.tensionN, shareU: SHARE_U.stated, assumed: [] };
  const pitch = string.frequencyHz ?? pitchOf(string.note ?? note, which);
  const mass = massOf(string, which);
  return { tensionN: tensionN(mass.kgM, scaleLengthMm, pitch), shareU: mass.shareU, assumed: mass.assumed };
}

function pitchOf(note: string | undefined, which: string): number {
  if (note === undefined) throw new RangeError(`Cannot work out the tension of ${which}: it has neither pitch nor tension (add "note": "E2", or "tensionN")`);
  return noteFrequencyHz(note);
}

function massOf(string: NeckString, which: string): { readonly kgM: number; readonly shareU: number; readonly assumed: readonly string[] } {
  const material = string.material ?? "steel";
  const unsaid = string.material === undefined ? [`${which}: material not given, taken as steel`] : [];
  if (!string.wound) return { kgM: plainMassKgM(string.gaugeMm, DENSITY[material]), shareU: SHARE_U.plain, assumed: unsaid };
  const coreMm = string.coreMm ?? usualCoreMm(string.gaugeMm);
  const core = string.coreMm === undefined ? [`${which}: core not given, taken as ${coreMm.toFixed(2)} mm (from memory, no source)`] : [];
  return {
    kgM: woundMassKgM(string.gaugeMm, coreMm, material === "nylon" ? DENSITY.nylon : DENSITY.steel, DENSITY[material]),
    shareU: string.coreMm === undefined ? SHARE_U.woundCoreAssumed : SHARE_U.wound, assumed: [...unsaid, ...core],
  };
}

/** Cores grow more slowly than strings: 0.35 mm in a string of 0.66 mm, 0.45 mm in one of 1.17 mm (from memory, no source). */
function usualCoreMm(gaugeMm: number): number {
  return Math.min(0.75 * gaugeMm, 0.22 + 0.2 * gaugeMm);
}
