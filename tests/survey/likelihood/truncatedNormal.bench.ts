import { bench, describe } from "vitest";
import { truncatedNormal } from "../../../src/survey/likelihood/truncatedNormal.js";

// Run by hand: npx vitest bench --run --config tests/vitest.config.ts tests/survey/likelihood/truncatedNormal.bench.ts

const many = (low: number, high: number) => (): void => {
  for (let k = 0; k < 1000; k++) truncatedNormal(k * 1e-6, 1, low, high);
};

describe("a thousand truncated normals", () => {
  bench("around the peak", many(-2, 3));
  bench("in the tail", many(3, 4));
  bench("narrow", many(0.1, 0.2));
});
