import { afterAll, describe, expect, test } from "vitest";
import { leastSquares } from "../../src/survey/linear/leastSquares.js";
import { digitsOfAgreement } from "./printed.js";
import { referenceText } from "./reference.js";

type Certified = {
  readonly model: string;
  readonly residualDof: number;
  readonly coefficients: readonly { readonly name: string; readonly estimate: string; readonly sd: string }[];
  readonly residualSD: string;
  readonly residualSumOfSquares: string;
  readonly x: readonly (number | readonly number[])[];
  readonly y: readonly number[];
};
const { sets }: { readonly sets: Readonly<Record<string, Certified>> } = JSON.parse(referenceText("nist-strd-linear.json"));

/** Least digits of agreement: estimates, their standard deviations, residual standard deviation. */
const LEAST: Readonly<Record<string, readonly [number, number, number]>> = {
  Norris: [12, 12, 12], Pontius: [12, 12, 12], NoInt1: [13, 13, 13], NoInt2: [13, 13, 13], Longley: [12, 12, 12], Filip: [7, 7, 7],
  Wampler1: [12, 12, 12], Wampler2: [12, 12, 12], Wampler3: [9, 12, 12], Wampler4: [7, 12, 12], Wampler5: [6, 12, 12],
};

type Digits = { readonly estimate: number; readonly sd: number; readonly residualSd: number };

function certified(name: string): Certified {
  const set = sets[name];
  if (set === undefined) throw new Error(`no reference set ${name}`);
  return set;
}

function designOf(set: Certified): number[][] {
  const intercept = set.model.includes("B0");
  return set.x.map((x) => {
    if (typeof x !== "number") return [1, ...x];
    return Array.from({ length: set.coefficients.length }, (_, k) => x ** (intercept ? k : k + 1));
  });
}

function digitsOf(set: Certified, y: readonly number[]): Digits {
  const fit = leastSquares(designOf(set), y, undefined, { sigmaFrom: "residuals" });
  if (fit.status !== "fitted") throw new Error(`undetermined: rank ${fit.rank} of ${set.coefficients.length}`);
  expect(fit.dof).toBe(set.residualDof);
  const least = (values: readonly number[], key: "estimate" | "sd"): number => Math.min(...set.coefficients.map((c, k) => digitsOfAgreement(values[k] ?? Number.NaN, c[key])));
  return { estimate: least(fit.parameters, "estimate"), sd: least(fit.uParameters, "sd"), residualSd: digitsOfAgreement(fit.sigma, set.residualSD) };
}

describe("leastSquares against NIST StRD, Linear Regression", () => {
  const table: Record<string, Digits> = {};
  afterAll(() => {
    const cells = Object.entries(table).map(([name, d]) => `${name.padEnd(9)} ${d.estimate.toFixed(1).padStart(5)} ${d.sd.toFixed(1).padStart(5)} ${d.residualSd.toFixed(1).padStart(5)}`);
    console.log(["Digits of agreement with NIST StRD (estimates, their sd, residual sd):", ...cells].join("\n"));
  });

  test.each(Object.keys(LEAST))("NIST StRD %s", (name) => {
    const digits = digitsOf(certified(name), certified(name).y);
    table[name] = digits;
    const [estimate, sd, residualSd] = LEAST[name] ?? [15, 15, 15];
    expect(digits.estimate).toBeGreaterThanOrEqual(estimate);
    expect(digits.sd).toBeGreaterThanOrEqual(sd);
    expect(digits.residualSd).toBeGreaterThanOrEqual(residualSd);
  });

  test.each(["Norris", "Longley"])("control: NIST StRD %s with one observation changed by a millionth no longer agrees", (name) => {
    const set = certified(name);
    const digits = digitsOf(set, set.y.map((value, k) => (k === 3 ? value * (1 + 1e-6) : value)));
    expect(digits.estimate).toBeLessThan(8);
    expect(digits.residualSd).toBeLessThan(8);
  });
});
