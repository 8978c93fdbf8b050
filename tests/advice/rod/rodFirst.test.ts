import { describe, expect, test } from "vitest";
import { bowModel, rodAdvice, rodAdviceUnsaid, rodQuestionOf, rodTest } from "neck-survey";
import type { Measured, RodAdvice, RodQuestion } from "neck-survey";
import { neckWith, surveyed } from "../../frets/bench.js";
import { adviseRod } from "../../../src/notebook/rod.js";

const about = (value: number, u = 0.02): Measured => ({ value, u, unit: "mm", low95: value - 1.96 * u, high95: value + 1.96 * u });
const lines = (advice: RodAdvice): readonly string[] => advice.describe().split("\n");

const BACK = "fret centre\n1 touch\n7 touch\n16 16\n\n1 16\n7 touch\n16 touch\n";
const FORWARD = "strings: off\nfret centre\n1 touch\n4 7\n7 10\n11 7\n16 touch\n";
const STRAIGHT = "strings: off\nfret centre\n1 touch\n4 2\n7 2.5\n11 2\n16 touch\n";

describe("three readings of a back bow, which a high fret gives as well", () => {
  const back = surveyed(BACK);

  test("nothing is turned: the fret is rocked first, and each answer is told", () => {
    const advice = adviseRod(back);
    expect(advice).toMatchObject({
      decision: "read first",
      headline: "test neck: turn nothing yet. Rock fret 7 on the centre line. If it is still, it is back bow (middle high) and the rod is the cure; if it rocks, see to the fret first.",
    });
    expect(advice.describe()).toContain("Three places cannot split a bow from a high fret");
    expect(advice.describe()).not.toMatch(/probably right|How sure|toward (forward|back) bow/);
    expect([advice.turns, advice.profiles?.after, advice.probability]).toEqual([undefined, undefined, undefined]);
  });

  test.each(["to come", "none"] as const)("and so with strings %s", (strings) => {
    expect(adviseRod(back, { strings }).headline).toMatch(/turn nothing yet\. Rock fret 7 on the centre line\. If it is still, it is back bow/);
  });

  test("a rod that cannot push that way is not called the cure", () => {
    const oneWay = surveyed(`rod: slack\n${BACK}`, neckWith({ rod: { works: "one way" } }));
    expect(adviseRod(oneWay).headline).toContain("it is back bow (middle high): write that in the sheet and ask again; if it rocks, see to the fret first.");
  });

  test("control: once it was rocked and is still, the rod is turned; and a forward bow asks no rocking", () => {
    expect(adviseRod(surveyed(`${BACK}rocked frets 7-7 on centre: still\n`), { strings: "none" }).decision).toBe("turn toward forward bow");
    expect(adviseRod(surveyed("fret centre\n1 touch\n7 10\n16 touch\n"), { strings: "none" }).decision).toBe("turn toward back bow");
  });
});

describe("nobody said whether the neck will be strung", () => {
  const asked: RodQuestion = { target: { minMm: 0.1, maxMm: 0.3 } };
  const forward = surveyed(FORWARD, neckWith({ rod: { works: "both ways", moreRelief: "anticlockwise" } }));
  const straight = surveyed(STRAIGHT, neckWith({ rod: { works: "both ways", moreRelief: "anticlockwise" } }));

  test("two opposite answers: the question stands first, and each answer has its line", () => {
    const advice = rodAdviceUnsaid(straight, asked, { strings: about(0.5) });
    expect([advice.decision, advice.either?.bare.decision, advice.either?.strung.decision]).toEqual(["say first", "turn toward forward bow", "turn toward back bow"]);
    expect(lines(advice)[0]).toBe("test neck: will this neck be strung? What to do with the rod hangs on it.");
    expect(lines(advice)[1]).toMatch(/^If it will be strung: turn the nut clockwise .* toward back bow \(middle high\)/);
    expect(lines(advice)[2]).toMatch(/^If it goes out bare: turn the nut anticlockwise .* toward forward bow \(middle low\)/);
    expect(lines(advice)[3]).toBe('Ask again with strings: "to come", or "none".');
    expect(advice.describe()).toContain("Never more than a quarter turn");
    expect([advice.turns, advice.profiles?.after, advice.profiles?.underStrings]).toEqual([undefined, undefined, undefined]);
    expect(advice.profiles?.now).toEqual(advice.either?.bare.profiles?.now);
  });

  test("the same answer: it is given, and says that it holds either way", () => {
    const advice = rodAdviceUnsaid(forward, {}, { strings: about(0.3) });
    expect(advice.decision).toBe("turn toward back bow");
    expect(advice.either).toBeUndefined();
    expect(advice.describe()).toMatch(/If it will be strung, the answer is the same; the middle is then to move 0\.3\d mm/);
  });

  test("a notebook asks with the books' pull, and takes either answer", () => {
    const advice = adviseRod(straight);
    expect(advice.decision).toBe("say first");
    const model = bowModel(straight.neck);
    expect(adviseRod(straight, { strings: "to come" }).describe()).toBe(rodAdvice(straight, rodQuestionOf(model, true)).describe());
    expect(adviseRod(straight, { strings: "none" }).decision).toBe("leave the rod");
    expect(lines(advice)).toContain(`If it goes out bare: ${adviseRod(straight, { strings: "none" }).headline.replace("test neck: ", "")}`);
    expect(lines(advice)).toContain(`If it will be strung: ${adviseRod(straight, { strings: "to come" }).headline.replace("test neck: ", "")}`);
  });

  test("strings that were on while it was read: nothing is asked", () => {
    expect(adviseRod(surveyed(STRAIGHT.replace("off", "on, at pitch"))).either).toBeUndefined();
  });
});

describe("which way the nut works is not known", () => {
  test("too much relief: what the middle must do, how sure, and how to find the way; no way to turn is named", () => {
    const advice = rodAdvice(surveyed(FORWARD));
    expect(advice.headline).toMatch(/^test neck: the middle would have to come up 0\.2\d mm, give or take 0\.0\d \(\S+ thou, give or take \S+\) to be straight within [^:]*, as a neck that goes out bare is to be: as good as certain\. Which way to turn the nut for that: not known\. Find out first: an eighth of a turn anticlockwise \(seen from the wrench's end\), wait, read fret 7 again\. Gap larger: wrong way, turn back\. Gap smaller: right way\. No change: turn back and stop; do the rod test\.$/);
    expect(advice.describe()).toContain("How sure that the middle has to come up: as good as certain. That is said of the neck, not of the nut.");
    expect(advice.describe()).not.toMatch(/tighter|looser|surely right|probably right/);
    expect(advice.describe()).toMatch(/Never more than a quarter turn.*let them down before you turn a stiff rod/s);
    expect(advice.describe()).toContain("How far is not known for this rod: what the eighth of a turn moved tells how far to go.");
  });

  test("too little relief: a larger gap is right; in back bow, where the middle has no gap, the ends tell", () => {
    const little = rodAdvice(surveyed(STRAIGHT), { target: { minMm: 0.2, maxMm: 0.3 } });
    expect(little.headline).toMatch(/the middle would have to come down .* Gap smaller: wrong way, turn back\. Gap larger: right way\./);
    const back = rodAdvice(surveyed(`${BACK}rocked frets 7-7 on centre: still\n`));
    expect(back.headline).toMatch(/the middle would have to come down .* read again how far the ends of the edge stand off\. Farther: wrong way, turn back\. Less: right way\./);
    const backMore = rodAdvice(surveyed(`${BACK}rocked frets 7-7 on centre: still\n`), { target: { minMm: -0.6, maxMm: -0.5 } });
    expect(backMore.headline).toMatch(/the middle would have to come up .* Less: wrong way, turn back\. Farther: right way\./);
  });

  test("how far comes after the way", () => {
    const advice = rodAdvice(surveyed(FORWARD), { perTurn: about(0.7, 0.2) });
    expect(lines(advice)[1]).toMatch(/^Once the way is known: about .* by book sizes, which may be far off\./);
  });

  test("control: a neck file or a test that knows the way names it", () => {
    expect(rodAdvice(surveyed(FORWARD, neckWith({ rod: { moreRelief: "anticlockwise" } }))).headline).toContain("turn the nut clockwise (seen from the wrench's end)");
  });
});

describe("how far, and what will be read", () => {
  const rod = { works: "both ways", moreRelief: "anticlockwise" };
  const forward = surveyed(FORWARD, neckWith({ rod }));

  test("by book sizes: one figure, a quarter, a reading, and the rod test before a second; no range that sounds like leave", () => {
    const advice = rodAdvice(forward, { perTurn: { ...about(0.7), low95: 0.2, high95: 2 } });
    expect(advice.headline).toMatch(/About \S+( of a turn| a turn| turns?| \S+ turns) by book sizes, which may be far off\. Turn a quarter, wait, read\. Do the rod test before a second quarter\.$/);
    expect(advice.describe()).not.toMatch(/between .* turn/);
    expect(advice.turns?.inAll.high95 ?? NaN).toBeGreaterThan(advice.turns?.inAll.value ?? NaN);
  });

  test("less than a quarter by book sizes is not called a quarter", () => {
    const advice = rodAdvice(forward, { perTurn: about(2.5, 0.1) });
    expect(advice.turns?.firstStep).toBe(1 / 8);
    expect(advice.headline).toMatch(/Turn an eighth, wait, read\. Do the rod test before you turn it any further\.$/);
  });

  test("by the rod's own test its range stays", () => {
    const tested = rodTest({ readings: [0, 0.25, 0.5, 0, -0.25, 0].map((turns) => ({ turns, reliefMm: 0.3 - 0.3 * turns, uMm: 0.02 })), towardBackShare: 1 });
    expect(rodAdvice(forward, { test: tested }).headline).toMatch(/In all about .*, from this rod's own test: first a quarter turn, wait, read again/);
  });

  test("strings to come: what the bare neck reads after the turn, with its sign, and that it is meant", () => {
    const advice = rodAdvice(forward, { strings: about(0.26, 0.05) });
    expect(advice.describe()).toContain("After the turn, still bare, the edge should show about 0.06 mm (2.4 thou) back bow (middle high), and rock. That is meant; the strings take it to about 0.20 mm (7.9 thou) forward bow (middle low).");
    expect(rodAdvice(forward, { strings: about(0.12) }).describe()).toContain("the edge should show about 0.08 mm (3.1 thou) forward bow (middle low). That is meant");
    expect(rodAdvice(forward, { strings: about(0.2) }).describe()).toContain("the edge should show no bow.");
  });

  test("control: nothing of it where no strings come, or where nothing is turned", () => {
    expect(rodAdvice(forward).describe()).not.toContain("After the turn");
    expect(rodAdvice(surveyed(STRAIGHT), { strings: about(0.15) })).toMatchObject({ decision: "leave the rod" });
    expect(rodAdvice(surveyed(STRAIGHT), { strings: about(0.15) }).describe()).not.toContain("After the turn");
  });
});
