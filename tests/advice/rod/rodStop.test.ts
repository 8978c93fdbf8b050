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
    expect(found.reasons.join(" ")).toMatch(/at fret 7, centre.*It may as well be/);
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

  test("beyond two turns without a rod test", () => {
    const rest = "fret centre\n1 touch\n3 7\n5 12\n7 15\n9 15\n12 11\n14 6\n16 touch\n";
    for (const more of [BOTH_WAYS, {}]) expect(advised(`strings: on\nrod: 3 turns clockwise\n${rest}`, more).headline).toMatch(/^N: do not turn the nut any further clockwise: it stands 3 turns clockwise already, and the neck still has 0\.39 mm/);
    expect(advised(`strings: on\nrod: 3 turns anticlockwise\n${rest}`).decision).toBe("turn toward back bow");
    expect(advised(`strings: on\nrod: 1 turn clockwise\n${rest}`).decision).toBe("turn toward back bow");
  });

  test("by more than any rod gives: a reading, a unit or the wanted relief is mistyped", () => {
    const mistyped = advised(`${STRUNG}7 90\n16 touch\n`);
    expect([mistyped.decision, mistyped.turns]).toEqual(["read first", undefined]);
    expect(mistyped.headline).toMatch(/no rod gives that much: is a reading mistyped, or a unit\?$/);
    expect(advised(`${STRUNG}7 9\n16 touch\n`, BOTH_WAYS, { relief: ["4", "12"] }).headline).toMatch(/or the relief that was asked for\?$/);
  });
});

describe("a rod that cannot add relief", () => {
  const ONE_WAY = { rod: { works: "one way", moreRelief: "anticlockwise" } };

  test("a neck short of the relief wanted is in no back bow, and no board is planed for it", () => {
    const found = advised(`${STRUNG}4 0\n7 0\n11 0\n16 touch\n`, ONE_WAY);
    expect(found.headline).toBe("N: leave the rod as it is: it cannot add relief. The neck is a little short of what is wanted.");
    expect(found.describe()).toMatch(/If that is not slack, let it back.*It is no back bow: the middle is 0\.0\d mm .* short of the least relief/);
    expect(found.describe()).not.toMatch(/planed|heavier strings/);
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
    expect(found.describe()).not.toMatch(/quarter turn|forced|before you turn/);
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
    expect(advised(`strings: on\n${TABLE}`, BASS).decision).not.toBe("say first");
    expect(advised(`strings: off\n${TABLE}`, BASS, { strings: "none" }).decision).not.toBe("say first");
  });
});
