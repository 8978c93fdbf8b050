import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { unplannedWords } from "../../../src/advice/levelPlan/planWords.js";
import { planBreaches } from "../../../src/advice/levelPlan/judge.js";
import { levelPlan, type LevelPlan } from "../../../src/advice/levelPlan/levelPlan.js";
import type { LevelProblem, LevelTop } from "../../../src/advice/levelPlan/problem.js";
import type { SolveProgram } from "../../../src/advice/levelPlan/program.js";
import { loadSolver } from "../../../src/notebook/solver.js";
import { enumeratedLeast } from "./enumerated.js";
import { drawnProblem } from "./problems.js";

const seed = 20_261_108;
const drawn = fc.sample(drawnProblem, { numRuns: 200, seed });
let solve: SolveProgram;
beforeAll(async () => {
  solve = await loadSolver();
});

function planned(problem: LevelProblem, by: SolveProgram = solve): LevelPlan {
  const plan = levelPlan(problem, by);
  if (plan.status !== "planned") throw new Error(`expected a plan, got ${plan.status}: ${plan.describe()}`);
  return plan;
}

/** Frets 1 to 9, 30 mm apart, level but for what is given. */
function board(upMm: Readonly<Record<number, number>>, change: Partial<LevelTop> = {}): LevelProblem {
  const tops = Array.from({ length: 9 }, (_, index): LevelTop => {
    const upHere = upMm[index + 1] ?? 0;
    return { fret: index + 1, line: "centre", xMm: 30 * index, yMm: 0, heightMm: upHere, ...(upHere > 0 ? { dropMm: upHere } : {}), spareMm: 0.3, reliefShare: 1 - ((index - 4) / 4) ** 2, fallAwayMm: 0, ...change };
  });
  return { tops, datum: "each line its own", toleranceMm: 0.015, reseatMax: 0, rod: { lowMm: 0, highMm: 0 } };
}

describe("the plan is the least there is", () => {
  const count = { planned: 0, infeasible: 0, reseated: 0 };
  test.each([0, 50, 100, 150])(`levellings %i and on, seed ${seed}: the cost is that of all reseat sets enumerated as linear programs by another solver, to 1e-6 mm`, (from) => {
    for (const problem of drawn.slice(from, from + 50)) {
      const plan = levelPlan(problem, solve);
      const least = enumeratedLeast(problem);
      if (plan.status === "planned") {
        expect(Math.abs(plan.objectiveMm - least)).toBeLessThan(1e-6);
        expect(planBreaches(problem, plan)).toEqual([]);
        count.planned += 1;
        count.reseated += plan.reseat.length > 0 ? 1 : 0;
      } else {
        expect([plan.status, least]).toEqual(["infeasible", Infinity]);
        count.infeasible += 1;
      }
    }
  });

  test("these levellings are of every kind", () => {
    expect(count.planned + count.infeasible).toBe(200);
    expect(Math.min(count.planned, count.infeasible, count.reseated)).toBeGreaterThan(20);
  });

  test("a level board loses nothing, one high fret loses all but the tolerance's worth of tilt", () => {
    expect(planned(board({})).sumMm).toBe(0);
    const plan = planned(board({ 5: 0.1 }));
    // the beam may lie 0.015 mm over the others
    expect(plan.removals[4]?.removeMm).toBeCloseTo(0.085, 9);
    expect(plan.sumMm).toBeCloseTo(0.085, 9);
  });
});

describe("what a plan says of itself", () => {
  test("a high fret that may be seated is seated, and what that saves is what it loses otherwise", () => {
    const plan = planned({ ...board({ 5: 0.1 }), reseatMax: 1 });
    expect(plan.reseat).toEqual([5]);
    expect(plan.sumMm).toBe(0);
    expect(plan.savings).toEqual([expect.objectContaining({ status: "saves", fret: 5, mostAt: { fret: 5, line: "centre" } })]);
    expect(plan.savings[0]?.status === "saves" ? plan.savings[0].mostMm : NaN).toBeCloseTo(0.085, 9);
    expect(plan.describe()).toContain("Seating fret 5 first saves 0.09 mm (3.3 thou) there");
  });

  test("a low fret decides: the duals say what a hundredth saves, and raising it by a hundredth saves just that", () => {
    const low = board({ 5: -0.08 });
    const plan = planned(low);
    const [first] = plan.decides;
    expect(first).toMatchObject({ limit: "low", fret: 5, line: "centre" });
    expect(plan.objectiveMm - planned(board({ 5: -0.07 })).objectiveMm).toBeCloseTo(first?.savesPerHundredthMm ?? NaN, 9);
    expect(plan.describe()).toContain("fret 5 (centre) decides it: it is low");
  });

  test("the low fret may be left out: what that saves is what the board without it loses less, and how low it stays is told", () => {
    const plan = planned(board({ 2: 0.05, 5: -0.08 }));
    const rest = board({ 2: 0.05 });
    const without = planned({ ...rest, tops: rest.tops.filter(({ fret }) => fret !== 5) });
    expect(plan.leftOut).toMatchObject({ fret: 5 });
    expect(plan.leftOut?.sumMm).toBeCloseTo(without.sumMm, 9);
    expect(plan.leftOut?.mostMm).toBeCloseTo(without.mostMm, 9);
    expect(plan.leftOut?.underMm ?? 0).toBeGreaterThan(0.08 - 1e-9);
    expect(plan.sumMm - (plan.leftOut?.sumMm ?? NaN)).toBeGreaterThan(0.05);
    expect(plan.describe()).toContain("Or leave fret 5 out");
    expect(plan.describe()).toContain("pull it and refit it: then at most");
  });

  test("a level that no low fret decides has none to leave out", () => {
    expect(planned(board({ 5: 0.1 })).leftOut).toBeUndefined();
  });

  test("a tolerance is told with all its digits", () => {
    const board5 = board({ 5: 0.2 });
    expect(levelPlan({ ...board5, tops: board5.tops.map((top) => ({ ...top, spareMm: 0.1 })) }, solve).describe()).toContain("within 0.015 mm (0.59 thou)");
  });

  test("a fret that may be off the board but is not seated is to be levelled only if it proves to be home", () => {
    expect(planned(board({ 5: 0.1 })).describe()).toContain("Fret 5 is not seated in this plan (your limit is 0): level it only if it proves to be home");
    expect(planned({ ...board({ 5: 0.1 }), reseatMax: 1 }).describe()).not.toContain("proves to be home");
  });

  test("the rod is set from where it stood", () => {
    const bowed = { ...board({}), tops: board({}).tops.map((top) => ({ ...top, heightMm: -0.2 * top.reliefShare })), rod: { lowMm: -0.3, highMm: 0 } };
    expect(planned({ ...bowed, rodStood: "neutral" }).describe()).toContain("From neutral, set the rod so that the middle moves");
    expect(planned({ ...bowed, rodStood: "1/4 turn clockwise" }).describe()).toContain("From where it was read (1/4 turn clockwise), set the rod");
  });

  test("the rod straightens a bow that the range allows", () => {
    const bowed = { ...board({}), tops: board({}).tops.map((top) => ({ ...top, heightMm: -0.2 * top.reliefShare })), rod: { lowMm: -0.3, highMm: 0 } };
    const plan = planned(bowed);
    expect(plan.sumMm).toBeCloseTo(0, 9);
    expect(plan.reliefChangeMm).toBeLessThan(-0.15);
    expect(plan.describe()).toContain("toward back bow (middle high)");
  });
});

describe("where there is no plan", () => {
  const thin = { ...board({ 5: 0.2 }), tops: board({ 5: 0.2 }).tops.map((top) => ({ ...top, spareMm: 0.1 })) };

  test("what would make it possible is found, each change alone, and each does", () => {
    const outcome = levelPlan(thin, solve);
    if (outcome.status !== "infeasible") throw new Error(outcome.status);
    expect(outcome.remedies.map(({ change }) => change)).toEqual(["reseating", "crown", "low frets"]);
    const crown = outcome.remedies.find((remedy) => remedy.change === "crown");
    if (crown?.change !== "crown") throw new Error("no crown remedy");
    // by hand: 0.2 less the tolerance must come off where 0.1 may
    expect(crown.byMm).toBeCloseTo(0.085, 6);
    expect(crown.at).toEqual([expect.objectContaining({ fret: 5, line: "centre" })]);
    expect(planned({ ...thin, tops: thin.tops.map((top) => ({ ...top, spareMm: 0.1 + crown.byMm + 1e-6 })) }).status).toBe("planned");
    expect(levelPlan({ ...thin, tops: thin.tops.map((top) => ({ ...top, spareMm: 0.1 + crown.byMm - 1e-4 })) }, solve).status).toBe("infeasible");
    expect(outcome.describe()).toContain("Do not level this neck as it is");
    expect(outcome.describe()).toContain("seat fret 5 first");
  });

  test("a bow beyond the rod's range asks for so much more of the rod", () => {
    const bowed = { ...board({}), tops: board({}).tops.map((top) => ({ ...top, heightMm: -0.5 * top.reliefShare, spareMm: 0.1 })), rod: { lowMm: -0.1, highMm: 0 } };
    const outcome = levelPlan(bowed, solve);
    if (outcome.status !== "infeasible") throw new Error(outcome.status);
    const rod = outcome.remedies.find((remedy) => remedy.change === "rod");
    expect(rod).toMatchObject({ change: "rod", way: "back" });
    expect(planned({ ...bowed, rod: { lowMm: -0.1 - (rod?.change === "rod" ? rod.byMm : 0) - 1e-6, highMm: 0 } }).status).toBe("planned");
  });

  test("a crown that is too low already is told", () => {
    const outcome = levelPlan({ ...board({}), tops: board({}).tops.map((top) => ({ ...top, spareMm: top.fret === 3 ? -0.02 : 0.3 })) }, solve);
    expect(outcome.status).toBe("infeasible");
    expect(outcome.describe()).toContain("Fret 3 (centre) is 0.02 mm (0.8 thou) under the least crown already");
  });
});

test("what is missing is rounded up to a hundredth, so that what is said is enough", () => {
  const words = (byMm: number): string => unplannedWords(board({}), [{ change: "crown", byMm, at: [{ fret: 1, line: "centre", missingMm: byMm }] }], "mm first");
  expect(words(0.002)).toContain("at least 0.01 mm (0.4 thou) more crown");
  expect(words(0.021)).toContain("at least 0.03 mm (1.2 thou) more crown");
  expect(words(0.02)).toContain("at least 0.02 mm (0.8 thou) more crown");
});

describe("nothing is taken on trust", () => {
  const problem = { ...board({ 5: 0.1 }), reseatMax: 1 };

  test("the judge finds each limit that is broken", () => {
    const plan = planned({ ...problem, reseatMax: 0 });
    const changed = (index: number, removeMm: number): LevelPlan => ({ ...plan, removals: plan.removals.map((one, at) => (at === index ? { ...one, removeMm } : one)) });
    expect(planBreaches(problem, changed(4, 0.05)).join(" ")).toContain("over the beam");
    expect(planBreaches(problem, changed(0, 0.03)).join(" ")).toContain("under the beam");
    expect(planBreaches(problem, changed(0, -0.01)).join(" ")).toContain("cannot add metal");
    expect(planBreaches({ ...problem, tops: problem.tops.map((top) => ({ ...top, spareMm: 0.05 })) }, plan).join(" ")).toContain("the crown can give");
    expect(planBreaches(problem, { ...plan, reseat: [5, 6] }).join(" ")).toContain("fret 6 is not one that may be reseated");
    expect(planBreaches({ ...problem, reseatMax: 0 }, { ...plan, reseat: [5] }).join(" ")).toContain("0 at most");
    expect(planBreaches(problem, { ...plan, reliefChangeMm: 0.1 }).join(" ")).toContain("outside 0 to 0 mm");
    expect(planBreaches(problem, { ...plan, objectiveMm: 0.08 }).join(" ")).toContain("objectiveMm");
    expect(planBreaches({ ...problem, datum: "one plane" }, plan)).toEqual([]);
  });

  test("a solver that errs gets no plan past the judge", () => {
    const erring: SolveProgram = (program) => {
      const found = solve(program);
      return found.status === "optimal" ? { ...found, values: new Map([...found.values].map(([name, value]) => [name, name === "r4" ? value / 2 : value])) } : found;
    };
    expect(levelPlan({ ...problem, reseatMax: 0 }, erring).status).toBe("not proven");
    const idle: SolveProgram = () => ({ status: "failed", why: "time is up" });
    expect(levelPlan(problem, idle).describe()).toContain("time is up");
  });

  test("a problem that cannot be meant is refused", () => {
    expect(() => levelPlan({ ...problem, tops: [] }, solve)).toThrow("expected one fret top or more");
    expect(() => levelPlan({ ...problem, rod: { lowMm: 1, highMm: 0 } }, solve)).toThrow("range of the rod");
    expect(() => levelPlan({ ...problem, tops: problem.tops.map((top) => ({ ...top, heightMm: NaN })) }, solve)).toThrow("finite numbers at fret 1, centre");
  });
});
