import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { normalQuantile } from "../survey/likelihood/normal.js";

/** A stream of standard normal numbers; the same seed gives the same stream. */
export function normalsFrom(seed: number): () => number {
  const random = xoroshiro128plus(seed);
  return () => normalQuantile(Math.max(uniformFloat64(random), Number.MIN_VALUE));
}
