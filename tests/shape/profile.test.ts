import fc from "fast-check";
import { expect, test } from "vitest";
import { heightAt } from "../../src/shape/profile.js";

const bent = { of: "bent", xMm: [10, 20, 40], vMm: [0, -1, 3] };

test("heightAt runs straight between the points and through them", () => {
  expect(heightAt(bent, 10)).toBe(0);
  expect(heightAt(bent, 15)).toBeCloseTo(-0.5, 12);
  expect(heightAt(bent, 20)).toBe(-1);
  expect(heightAt(bent, 40)).toBe(3);
});

test("heightAt refuses a place outside the profile", () => {
  expect(() => heightAt(bent, 9.9)).toThrow('Cannot give the height of "bent" at 9.9 mm: expected a place from 10 to 40 mm');
  expect(() => heightAt(bent, 40.1)).toThrow(RangeError);
});

test("heightAt between two heights that are not negative is not negative, whatever the rounding", () => {
  fc.assert(fc.property(fc.double({ min: 0, max: 600, noNaN: true }), fc.double({ min: 1e-3, max: 30, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (from, wide, high, share) => {
    const profile = { of: "uncertainty", xMm: [from, from + wide], vMm: [high, 0] };
    expect(heightAt(profile, Math.min(from + wide, from + share * wide))).toBeGreaterThanOrEqual(0);
    expect(heightAt(profile, from + wide)).toBe(0);
  }), { seed: 20_260_708 });
});
