import { expect, test } from "vitest";
import { studentQuantile, studentTail } from "../../src/frets/student.js";

test.each([
  // tables of the t distribution as printed in handbooks of statistics
  [0.975, 1, "12.706"], [0.975, 2, "4.303"], [0.95, 3, "2.353"], [0.99, 7, "2.998"], [0.995, 20, "2.845"], [0.9995, 30, "3.646"],
] as const)("quantile %d with %d degrees of freedom is %s", (p, dof, text) => {
  expect(studentQuantile(p, dof).toFixed(3)).toBe(text);
});

test("tail and quantile undo each other, and the tail agrees with numerical integration of the density", () => {
  for (const dof of [1, 2, 3, 8, 17, 52]) {
    expect(studentTail(studentQuantile(0.9999, dof), dof)).toBeCloseTo(1e-4, 14);
    expect(studentTail(1.3, dof)).toBeCloseTo(integratedTail(1.3, dof), 9);
  }
  expect(studentTail(1.3, 8)).not.toBeCloseTo(integratedTail(1.31, 8), 4);
});

test("refuses what has no quantile", () => {
  expect(() => studentQuantile(1, 5)).toThrow("Cannot give a quantile of Student's t");
  expect(() => studentQuantile(0.9, 2.5)).toThrow("whole degrees of freedom");
});

/** Half minus Simpson's rule on the unnormalised density from 0 to t, against its whole by substitution t = sqrt(v) tan a. */
function integratedTail(t: number, dof: number): number {
  const density = (angle: number): number => Math.cos(angle) ** (dof - 1);
  const whole = simpson(density, 0, Math.PI / 2);
  return 0.5 * (1 - simpson(density, 0, Math.atan(t / Math.sqrt(dof))) / whole);
}

function simpson(of: (x: number) => number, from: number, to: number): number {
  const steps = 2000;
  const h = (to - from) / steps;
  return Array.from({ length: steps + 1 }, (_, k) => of(from + k * h) * (k === 0 || k === steps ? 1 : k % 2 === 1 ? 4 : 2)).reduce((sum, value) => sum + value, 0) * (h / 3);
}
