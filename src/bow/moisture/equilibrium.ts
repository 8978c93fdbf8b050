/** A room: relative humidity in per cent and temperature in degrees Celsius. */
export type Climate = { readonly humidityPercent: number; readonly celsius: number };

/** Coefficients c0 + c1 T + c2 T^2, T in degrees Celsius. */
const W = [349, 1.29, 0.0135] as const;
const K = [0.805, 0.000736, -2.73e-6] as const;
const K1 = [6.27, -0.00938, -0.000303] as const;
const K2 = [1.91, 0.0407, -0.000293] as const;

/** Over what the published table reaches. */
const RANGE = { humidity: [0, 98], celsius: [-2, 94] } as const;

/**
 * Moisture at which wood comes to rest in a room, per cent of its dry mass.
 * For Sitka spruce, midway between wetting and drying; kinds of wood and their past differ by a per cent or so.
 * @throws {RangeError} humidity outside 0 to 98 %, or a temperature outside -2 to 94 degrees Celsius
 * @source Wood Handbook (2021) ch. 4, eq. 4-5, after Hailwood and Horrobin (1946); Table 4-2 in tests/published/
 * @example near(equilibriumMoisturePercent({ humidityPercent: 50, celsius: 20 }), 9.27, { abs: 0.005 });
 */
export function equilibriumMoisturePercent({ humidityPercent, celsius }: Climate): number {
  const isInside = humidityPercent >= RANGE.humidity[0] && humidityPercent <= RANGE.humidity[1] && celsius >= RANGE.celsius[0] && celsius <= RANGE.celsius[1];
  if (!isInside) {
    throw new RangeError(`Cannot give the moisture of wood at ${humidityPercent} % and ${celsius} °C: expected a humidity of ${RANGE.humidity.join(" to ")} % and a temperature of ${RANGE.celsius.join(" to ")} °C`);
  }
  const [k, k1, k2] = [polynomial(K, celsius), polynomial(K1, celsius), polynomial(K2, celsius)];
  const kh = (k * humidityPercent) / 100;
  return (1800 / polynomial(W, celsius)) * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh ** 2) / (1 + k1 * kh + k1 * k2 * kh ** 2));
}

function polynomial([c0, c1, c2]: readonly [number, number, number], t: number): number {
  return c0 + c1 * t + c2 * t * t;
}
