/** The spreads that the adjustment does not know beforehand; they are integrated over a small grid, not plugged in. */
export type Scatters = {
  /** Standard deviation that the smooth line may stray from its bow in the middle of `ROUGHNESS_SPAN_MM`, mm. */
  readonly roughnessMm: number;
  /** Standard deviation of the seating of frets that are pressed in as intended, mm. */
  readonly seatingMm: number;
};

/** Length for which the roughness is stated: about nut to body joint. */
export const ROUGHNESS_SPAN_MM = 320;

/** Centres of the log-normal priors (common practice, no source): a neck bends smoothly, pressed frets stand within hundredths. */
export const CENTRE: Scatters = { roughnessMm: 0.03, seatingMm: 0.008 };

/** The log-normal priors have a factor of 3 for one standard deviation. */
export const LOG_SD: number = Math.log(3);

/** Intensity of the white noise in the second derivative that gives `roughnessMm` at mid-span: variance q L^3 / 48, as the deflection of a simply supported beam. */
export function randomWalkIntensity(scatters: Scatters): number {
  return (48 * scatters.roughnessMm ** 2) / ROUGHNESS_SPAN_MM ** 3;
}

/** A mixture of normals: most as intended, few far out. */
export type Mixture = readonly { readonly weight: number; readonly meanMm: number; readonly sdMm: number }[];

/** Whole frets: one in twelve or so stands out, mostly high (common practice, no source). */
export function seatingMixture(scatters: Scatters): Mixture {
  return [
    { weight: 0.91, meanMm: 0, sdMm: scatters.seatingMm },
    { weight: 0.075, meanMm: 0.08, sdMm: 0.035 },
    { weight: 0.015, meanMm: -0.04, sdMm: 0.03 },
  ];
}

/** One end of a fret against the whole fret: a few are lifted (common practice, no source). */
export function fretEndMixture(scatters: Scatters): Mixture {
  return [
    { weight: 0.97, meanMm: 0, sdMm: 0.4 * scatters.seatingMm },
    { weight: 0.03, meanMm: 0.07, sdMm: 0.035 },
  ];
}

/** Width of the normal base from which the mixtures are told apart; wide against all of them. */
export const DEVIATION_BASE_MM = 0.15;
