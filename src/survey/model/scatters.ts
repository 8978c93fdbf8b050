/** The spreads that the adjustment does not know beforehand; they are integrated over a small grid, not plugged in. */
export type Scatters = {
  /** Standard deviation that the smooth line may stray from its long bends in the middle of `ROUGHNESS_SPAN_MM`, mm. */
  readonly roughnessMm: number;
  /** Standard deviation of the seating of frets that are pressed in as intended, mm. */
  readonly seatingMm: number;
};

/** Length for which the roughness is stated: about nut to body joint. */
export const ROUGHNESS_SPAN_MM = 320;

/** Centres of the log-normal priors (common practice, no source; the roughness chosen on invented necks, whose lines have long bends and corners only): a neck bends smoothly, pressed frets stand within hundredths. */
export const CENTRE: Scatters = { roughnessMm: 0.012, seatingMm: 0.008 };

/** The log-normal priors have a factor of 3 for one standard deviation. */
export const LOG_SD: number = Math.log(3);

/** Intensity of the white noise in the second derivative that gives `roughnessMm` at mid-span: variance q L^3 / 48, as the deflection of a simply supported beam. */
export function randomWalkIntensity(scatters: Scatters): number {
  return (48 * scatters.roughnessMm ** 2) / ROUGHNESS_SPAN_MM ** 3;
}

/** Width of the normal base of every fret deviation, from which the classes are told apart; wide against all of them. */
export const DEVIATION_BASE_MM = 0.15;
