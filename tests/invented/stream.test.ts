import { expect, test } from "vitest";
import { inventedStream } from "../../src/invented/stream.js";

const draws = (seed: number, study: string, neck: number, count: number): number[] => {
  const stream = inventedStream(seed, study, neck);
  return Array.from({ length: count }, () => stream.uniform(0, 1));
};

test("inventedStream gives the same numbers for the same seed, study and neck, and others for any other", () => {
  const here = draws(1, "relief", 3, 20);
  expect(draws(1, "relief", 3, 20)).toEqual(here);
  for (const other of [draws(2, "relief", 3, 20), draws(1, "heights", 3, 20), draws(1, "relief", 4, 20)]) {
    expect(other.filter((value) => here.includes(value))).toEqual([]);
  }
});

test("inventedStream keeps its numbers from release to release", () => {
  const stream = inventedStream(1, "pinned", 0);
  const numbers = [stream.uniform(0, 1), stream.normal(0, 1), stream.whole(1, 6)].map((value) => value.toFixed(12));
  expect(numbers).toEqual(["0.770190620047", "-0.660436559846", "5.000000000000"]);
});

test("inventedStream's normal numbers have the mean, spread and tails of a normal", () => {
  const stream = inventedStream(7, "normal", 0);
  const n = 40_000;
  const values = Array.from({ length: n }, () => stream.normal(2, 3));
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1);
  const outside = values.filter((value) => Math.abs(value - 2) > 1.959963984540054 * 3).length / n;
  expect(Math.abs(mean - 2)).toBeLessThan((4 * 3) / Math.sqrt(n));
  expect(Math.abs(variance / 9 - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(outside - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / n));
});

test("inventedStream's whole numbers and picks reach both ends and are even", () => {
  const stream = inventedStream(7, "whole", 0);
  const counts = new Map<number, number>();
  for (let i = 0; i < 12_000; i += 1) {
    const value = stream.whole(3, 5);
    counts.set(value, (counts.get(value) ?? 0) + 1);
  }
  expect([...counts.keys()].sort((a, b) => a - b)).toEqual([3, 4, 5]);
  for (const count of counts.values()) expect(Math.abs(count - 4000)).toBeLessThan(4 * Math.sqrt(4000 * (2 / 3)));
  expect(Array.from({ length: 50 }, () => stream.pick(["a", "b"])).filter((one) => one === "a").length).toBeGreaterThan(10);
});
