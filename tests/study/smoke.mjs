/**
 * A small study for `npm test`: of every neck one height, one relief, one fret and so on, drawn at random, so that what is counted is independent and plainly binomial.
 * node tests/study/smoke.mjs SEED NECKS    prints the counts as JSON; runs on dist.
 */
import { inventedStream } from "../../dist/invented/stream.js";
import { workedOut } from "./pool.mjs";
import { FAMILIES } from "./study.mjs";

const [seed, necks] = process.argv.slice(2).map(Number);
const pieces = Array.from({ length: necks }, (_, k) => {
  const family = FAMILIES[k % FAMILIES.length];
  return { job: "neck", seed, family, number: k, change: family === "atTheBench" ? "as published" : "two lines", options: { withTold: false, withRelief: k % 2 === 0 } };
});

const judged = await workedOut(pieces);
const counts = { refused: 0, heights: count(), reliefs: count(), highs: count(), heightsOfHalfU: count(), found: count(), falselyCalled: count(), named: count() };
for (const [number, neck] of judged.entries()) {
  if (neck === undefined) {
    counts.refused += 1;
    continue;
  }
  const stream = inventedStream(seed, "smoke/which", number);
  const one = (among) => (among.length === 0 ? undefined : among[stream.whole(0, among.length - 1)]);
  const [height, relief, high] = [one(neck.heights), one(neck.reliefs), one(neck.highs)];
  add(counts.heights, height, (is) => is.covered);
  add(counts.heightsOfHalfU, height, (is) => Math.abs(is.errorMm) <= 0.98 * is.uMm);
  add(counts.reliefs, relief, (is) => is.covered);
  add(counts.highs, high, (is) => is.covered);
  add(counts.found, one(neck.highs.filter((is) => is.trueMm >= 0.05 && is.farOut !== "zone")), (is) => is.flagged);
  add(counts.falselyCalled, one(neck.highs.filter((is) => is.trueMm < 0.015)), (is) => is.flagged);
  add(counts.named, neck, (is) => is.named > 0);
}
console.log(JSON.stringify(counts));

function count() {
  return { hits: 0, of: 0 };
}

function add(counter, one, hit) {
  if (one === undefined) return;
  counter.of += 1;
  if (hit(one)) counter.hits += 1;
}
