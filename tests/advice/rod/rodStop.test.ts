import { describe, expect, test } from "vitest";
import { adjust, readBenchText, readNeck, valueOrThrow } from "neck-survey";
import type { RodAdvice } from "neck-survey";
import { adviseRod, type RodWish } from "neck-survey/notebook";

const BOTH_WAYS = { rod: { works: "both ways", moreRelief: "anticlockwise" } };

function advised(text: string, more: object = BOTH_WAYS, wish: RodWish = {}): RodAdvice {
  const neck = valueOrThrow(readNeck({ name: "N", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", ...more }), "the neck");
  return adviseRod(adjust(neck, valueOrThrow(readBenchText(neck, text), "the table")), wish);
}

const STRUNG = "strings: on\nrod: neutral\n\nfret centre\n1 touch\n";
const BACK_BOW = "fret centre\n1 touch\n2 touch\n3 light\n5 3\n7 7\n9 10\n12 17\n14 22\n16 28\n";

describe("no rod is turned", () => {
  test("on readings that contradict each other, whichever of them was set aside", () => {
    const found = advised(`${STRUNG}7 touch\n16 16\n\n1 touch\n7 20\n16 touch\n`);
    expect([found.decision, found.probability]).toEqual(["read first", undefined]);
    expect(found.headline).toBe("N: turn nothing yet. Readings contradict each other, and nothing tells which of them is wrong.");
    expect(found.reasons.join(" ")).toMatch(/at fret 7, centre.*It may also be/);
  });

  test("where a reading was set aside alone the advice says so", () => {
    const found = advised(`${STRUNG}3 7\n5 12\n7 15\n9 15\n12 11\n14 6\n16 touch\n\n1 touch\n3 7\n5 30\n7 15\n9 15\n12 11\n14 6\n16 touch\n`);
    expect(found.decision).toBe("turn toward back bow");
    expect(found.describe()).toMatch(/fret 5, centre, was read as "30 thou".*It is set aside/);
  });

  test("for lines on both sides of what is wanted: it bends all alike", () => {
    const found = advised("strings: on\nrod: neutral\nfret bass centre treble\n1 touch touch touch\n2 - - touch\n3 6 3 -\n5 10 5 2\n7 13 6 4\n9 13 6 6\n12 9 4 10\n14 5 2 13\n16 touch touch 16\n");
    expect(found.decision).toBe("not by this rod");
    expect(found.headline).toMatch(/^N: no position of the rod suits all lines: the bass line has 0\.3\d mm \(.*\) forward bow \(middle low\) and the treble line has 0\.\d\d mm \(.*\) back bow \(middle high\)\.$/);
    expect(found.readIfUnsure[0]).toContain("Look for twist first: lay two sighting bars across");
  });

  test("a neck whose twist was sighted is not sent to be sighted", () => {
    const sighted = advised("strings: on\nrod: neutral\nfret bass centre treble\n1 touch touch touch\n2 - - touch\n3 6 3 -\n5 10 5 2\n7 13 6 4\n9 13 6 6\n12 9 4 10\n14 5 2 13\n16 touch touch 16\n\nsightingBars treble\n1 0\n22 0.6±0.2mm\n");
    expect(sighted.decision).toBe("not by this rod");
    expect(sighted.describe()).not.toContain("Look for twist first");
  });

  const bassOver = (bassMost: number, trebleMost: number): string =>
    `strings: on\nrod: neutral\nfret bass centre treble\n1 touch touch touch\n${[[3, 0.45], [5, 0.8], [7, 0.98], [9, 1], [12, 0.75], [14, 0.4]].map(([fret = 0, share = 0]) => `${fret} ${[bassMost, (bassMost + trebleMost) / 2, trebleMost].map((most) => Math.round(2 * most * share) / 2).join(" ")}`).join("\n")}\n16 touch touch touch\n`;

  test("a single line outside what is wanted is named before it is said how sure the mean is", () => {
    const found = advised(bassOver(13.5, 5));
    expect(found.headline).toBe("N: leave the rod as it is, though the bass line lies over what is wanted.");
    expect(found.describe()).toMatch(/By itself the bass line has 0\.3\d mm[^\n]*\n[^\n]*mean of the lines is within what is wanted: as good as certain/);
    expect(advised(bassOver(9, 6)).headline).toBe("N: leave the rod as it is.");
  });

  test("nor for a neck that has wound, one line short of what is wanted and another farther from it than that is wide", () => {
    const found = advised("strings: on\nrod: neutral\nfret bass treble\n1 touch touch\n2 - touch\n3 6 light\n5 10 3\n7 13 7\n9 13 10\n12 9 17\n14 5 22\n16 touch 28\n");
    expect(found.decision).toBe("not by this rod");
    expect(found.headline).toMatch(/^N: no position of the rod suits all lines: the bass line has 0\.3\d mm [^\n]*forward bow \(middle low\) and the treble line has 0\.\d\d mm [^\n]*back bow \(middle high\)\.$/);
  });

  test("lines farther apart than what is wanted is wide suit no position of the rod, wherever their mean is", () => {
    const found = advised(bassOver(30, 15));
    expect(found.decision).toBe("turn toward back bow");
    expect(found.reasons[0]).toMatch(/^The treble and the bass line lie 0\.4\d mm[^\n]* apart, farther than what is wanted is wide \(0\.20 mm \(7\.9 thou\)\): no position of the rod suits both\. Look for twist first/);
    expect(advised(bassOver(30, 27)).describe()).not.toContain("suits both");
  });

  test("beyond two turns without a rod test", () => {
    const rest = "fret centre\n1 touch\n3 7\n5 12\n7 15\n9 15\n12 11\n14 6\n16 touch\n";
    for (const more of [BOTH_WAYS, {}]) expect(advised(`strings: on\nrod: 3 turns clockwise\n${rest}`, more).headline).toMatch(/^N: do not turn the nut any further clockwise: it stands 3 turns clockwise already, and the neck still has 0\.39 mm/);
    expect(advised(`strings: on\nrod: tight\n${rest}`).reasons).toContain('Where the nut stands is not clear ("tight"), and it may be near its end: if it goes hard, do not turn it. Write it as "rod: 1/4 turn clockwise", counted from neutral.');
    expect(advised(`strings: on\nrod: neutral\n${rest}`).describe()).not.toContain("is not clear");
    expect(advised(`strings: on\nrod: 3 turns anticlockwise\n${rest}`).decision).toBe("turn toward back bow");
    expect(advised(`strings: on\nrod: 1 turn clockwise\n${rest}`).decision).toBe("turn toward back bow");
  });

  test("on a gap wider than a neck on its body shows", () => {
    const found = advised(`${STRUNG}7 65\n16 touch\n`);
    expect([found.decision, found.headline]).toEqual(["read first", "N: turn nothing yet. A gap was read that is more than a neck on its body shows."]);
    expect(found.reasons[0]).toContain("was read as \"65 thou\": over 1.50 mm");
  });

  test("by more than any rod gives: a reading, a unit or the wanted relief is mistyped", () => {
    const mistyped = advised(`${STRUNG}7 90\n16 touch\n`);
    expect([mistyped.decision, mistyped.turns]).toEqual(["read first", undefined]);
    expect(mistyped.headline).toMatch(/no rod gives that much: is a reading mistyped, or a unit\?$/);
    for (const works of ["none", "one way"]) expect(advised(`${STRUNG}7 90\n16 touch\n`, { rod: { works } }).headline).toMatch(works === "none" ? /^N: judge nothing by this yet\. The middle would have to move/ : /^N: turn nothing yet\. The middle would have to move/);
    expect(advised(`${STRUNG}7 9\n16 touch\n`, BOTH_WAYS, { relief: ["4 mm", "12 mm"] }).headline).toMatch(/or the relief that was asked for\?$/);
  });
});

describe("a rod that cannot add relief", () => {
  const ONE_WAY = { rod: { works: "one way", moreRelief: "anticlockwise" } };

  test("a neck short of the relief wanted is in no back bow, and no board is planed for it", () => {
    const found = advised(`${STRUNG}4 0\n7 0\n11 0\n16 touch\n`, ONE_WAY);
    expect(found.headline).toBe("N: leave the rod as it is: it cannot add relief. The neck is a little short of what is wanted.");
    expect(found.describe()).toMatch(/it is neutral: it has nothing left to let go\. It is no back bow: the middle is 0\.0\d mm .* short of the least relief/);
    expect(found.describe()).not.toMatch(/planed|heavier strings|let it back|How sure: /);
    expect(found.describe()).toContain("That is said of the neck, not of what mends it.");
  });

  test("a nut of which nobody said where it stands may have something left to let go", () => {
    const found = advised("strings: on\nfret centre\n1 touch\n4 0\n7 0\n11 0\n16 touch\n", ONE_WAY);
    expect(found.headline).toBe("N: the neck is a little short of the relief wanted, and this rod can only let go what it holds.");
    expect(found.reasons.join(" ")).toContain("if it is tightened, let it back until it is slack, and read again");
  });

  test("what mends a back bow is asked for strung and bare, where nobody said which it will be", () => {
    const deep = "strings: off\nrod: slack\nfret centre\n1 touch\n2 touch\n3 1.5\n5 4.5\n7 10.5\n9 15\n12 25.5\n14 33\n16 42\n";
    expect([advised(deep, ONE_WAY, { strings: "none" }).decision, advised(deep, ONE_WAY, { strings: "to come" }).decision]).toEqual(["not by this rod", "not by this rod"]);
    const found = advised(deep, ONE_WAY);
    expect(found.decision).toBe("say first");
    expect(found.describe()).not.toContain("planed");
  });

  test("heavier strings are no cure for a neck that goes out bare", () => {
    const bare = advised(`strings: off\nrod: slack\n${BACK_BOW}`, ONE_WAY, { strings: "none" });
    expect(bare.describe()).toContain("Back bow with the rod slack is not curable by it: the board is planed and fretted anew.");
    expect(advised(`strings: on\nrod: slack\n${BACK_BOW}`, ONE_WAY).describe()).toContain("heavier strings pull it out, or the board is planed");
  });

  test("a neck without a rod is open where the strings decide, and nothing is said of turning", () => {
    const found = advised(`strings: off\n${BACK_BOW}`, { rod: { works: "none" } }, { strings: "to come" });
    expect(found.decision).toBe("read first");
    expect(found.headline).toMatch(/^N: open whether its relief will do, and there is no rod to mend it\. .*string it up to pitch/);
    expect(found.describe()).not.toMatch(/quarter turn|forced|before you turn|with the rod as it is|How sure/);
    expect(found.describe()).toMatch(/\nSo far too little relief is likeliest: about \d times in 10\.\n/);
    expect(advised(`strings: off\n${BACK_BOW}`, { rod: { works: "none" } }).headline).toBe("N: will this neck be strung? Whether its relief will do hangs on it.");
  });
});

describe("a long scale whose strings nobody gave", () => {
  const BASS = { scaleLength: "34 in", frets: 20, rod: { works: "both ways", moreRelief: "anticlockwise" } };
  const TABLE = "fret centre\n1 touch\n7 12\n16 touch\n";

  test("the strings are asked for, unless they were on or the neck goes out bare", () => {
    for (const [state, wish] of [["off", {}], ["off", { strings: "to come" }], ["", {}]] as const) {
      const found = advised(`${state === "" ? "" : `strings: ${state}\n`}${TABLE}`, BASS, wish);
      expect([found.decision, found.headline]).toEqual(["say first", "N: turn nothing yet. What the strings will pull is not known, and what to do with the rod hangs on it."]);
      expect(found.reasons[0]).toMatch(/^Give the strings in the neck file, as "strings": \{ "each"/);
    }
    expect(advised(`strings: off\n${TABLE}`, { ...BASS, rod: { works: "none" } }).headline).toBe("N: what the strings will pull is not known, and whether its relief will do hangs on it.");
    expect(advised(`strings: on\n${TABLE}`, BASS).decision).not.toBe("say first");
    expect(advised(`strings: off\n${TABLE}`, BASS, { strings: "none" }).decision).not.toBe("say first");
  });

  test("readings that contradict each other come before the strings", () => {
    const found = advised("strings: off\nfret centre\n1 touch\n7 touch\n16 16\n\n1 touch\n7 20\n16 touch\n", BASS);
    expect(found.headline).toBe("N: turn nothing yet. Readings contradict each other, and nothing tells which of them is wrong.");
    expect(found.reasons.at(-1)).toBe("Strung or bare, that comes first.");
  });
});

describe("what a few readings leave open", () => {
  const FEW = "strings: off\nfret centre\n1 touch\n7 9\n16 touch\n";

  test("how sure it is hangs on a reading of the middle that no other checks", () => {
    expect(advised(FEW, {}).headline).toContain(": as good as certain, if what was read at fret 7 is right: no other reading checks it. Which way");
    for (const more of ["\n1 touch\n7 9\n16 touch\n", "4 7\n11 7\n"]) expect(advised(`${FEW}${more}`, {}).headline).not.toContain("no other reading checks");
  });
});
