/** Where it breaks: invented necks, operators and statements that leave what the adjustment supposes. */
import { fretsRaised } from "../../dist/invented/change.js";

/** Readings as stated on the sheet, worse in truth. */
const edgeStatedStraight = (operator) => ({ ...operator, edge: { ...operator.edge, straightnessToleranceMm: 0.02 } });
const feelStatedFine = (operator) => ({ ...operator, feelMm: 0.005 });
const leavesStatedExact = (operator) => ({ ...operator, leafToleranceMm: 0.004 });

const CHANGES = {
  "as published": { what: "the family as published, for comparison", change: {} },
  "seating half": { what: "frets pressed in twice as evenly: scatter 4 um", change: { spread: { seatingMm: 0.004 } } },
  "seating double": { what: "frets pressed in half as evenly: scatter 16 um", change: { spread: { seatingMm: 0.016 } } },
  "line half": { what: "the line half as wavy", change: { spread: { waviness: 0.5 } } },
  "line double": { what: "the line twice as wavy", change: { spread: { waviness: 2 } } },
  "other bends": { what: "no S-shape and no waves of the usual form: two bends of constant curvature over parts of the neck, straight beyond them, up to 0.06 mm each", change: { spread: { waviness: 0 }, alter: bentElsewhere } },
  "one line apart": { what: "the bass or the treble line bows by 0.15 to 0.35 mm more, or less, than the others", change: { alter: oneLineApart } },
  "frets uneven": { what: "every fret's ends up or down by 4 um beyond its scatter", change: { alter: endsUneven } },
  "many high": { what: "20 to 30 % of the frets high, 6 % of the ends lifted", change: { spread: { highShare: [0.2, 0.3], liftedShare: 0.06 } } },
  "none high": { what: "no fret high, no end lifted", change: { spread: { highShare: [0, 0], liftedShare: 0 } } },
  "edge worse": { what: "edge off by up to 0.06 mm, stated straight within 0.02 mm", change: { operator: { edgeToleranceMm: 0.06 }, stated: edgeStatedStraight } },
  "edge anyhow": { what: "within its tolerance the edge bows and bends in an S anyhow, all pairs alike, as the adjustment takes it; as published its S-shape is half of its bow", change: { operator: { edgeErrors: "anyhow" } } },
  "feel worse": { what: "feel 15 um, stated 5 um", change: { operator: { feelMm: 0.015 }, stated: feelStatedFine } },
  "leaves worse": { what: "leaves off by up to 12 um, stated 4 um", change: { operator: { leafToleranceMm: 0.012 }, stated: leavesStatedExact } },
  "few readings": { what: "edge once on the centre line, every second fret, half of the readings missing, no rocker", change: { plan: { lines: ["centre"], frets: "every second", whereItTouches: true, settingsPerLine: 1, rocker: false, missingShare: 0.5 } } },
  "two lines": { what: "the bass and the treble line only", change: { plan: { lines: ["bass", "treble"] } } },
  "edge only": { what: "edge once a line, every fret, no rocker", change: { plan: { settingsPerLine: 1, rocker: false } } },
  "two high at the end": { what: "the last two frets 0.08 mm high", change: { alter: (truth) => fretsRaised(truth, [truth.neck.frets - 1, truth.neck.frets], 0.08) } },
  "three high at the end": { what: "the last three frets 0.08 mm high", change: { alter: (truth) => fretsRaised(truth, [truth.neck.frets - 2, truth.neck.frets - 1, truth.neck.frets], 0.08) } },
  "two high together": { what: "two neighbours somewhere in the middle 0.08 mm high", change: { alter: (truth, stream) => raisedFrom(truth, stream.whole(6, 12), 2) } },
  "three high together": { what: "three neighbours somewhere in the middle 0.08 mm high", change: { alter: (truth, stream) => raisedFrom(truth, stream.whole(6, 12), 3) } },
};

function bentElsewhere(truth, stream) {
  const bend = (earliestMm, latestMm) => {
    const fromMm = stream.uniform(earliestMm, latestMm);
    return { fromMm, toMm: fromMm + stream.uniform(80, 200), bowMm: stream.uniform(-0.06, 0.06) };
  };
  return { ...truth, rodBends: [bend(20, 150), bend(150, 260)] };
}

function oneLineApart(truth, stream) {
  const line = truth.neck.lines.at(stream.chance(0.5) ? 0 : -1).name;
  const ownMm = stream.uniform(0.15, 0.35) * (stream.chance(0.5) ? 1 : -1);
  return { ...truth, lineBends: { ...truth.lineBends, [line]: { ...truth.lineBends[line], bowMm: ownMm } } };
}

function endsUneven(truth, stream) {
  return { ...truth, seating: truth.seating.map((seat) => ({ ...seat, bassEndMm: seat.bassEndMm + stream.normal(0, 0.004), trebleEndMm: seat.trebleEndMm + stream.normal(0, 0.004) })) };
}

function raisedFrom(truth, fret, count) {
  return fretsRaised(truth, Array.from({ length: count }, (_, k) => fret + k), 0.08);
}

/** Readings that a family is studied with beside its own plan; nothing that breaks. */
const FURTHER = {
  "wood read": { what: "beside the plan a notched edge laid on the wood along the centre line, a leaf tried midway between every two frets under it", change: { woodLines: ["centre"] } },
};

export const CHANGE_NAMES = Object.keys(CHANGES);

/** What a change does, in words. */
export const changeWords = (name) => CHANGES[name].what;

export function changeNamed(name) {
  const found = CHANGES[name] ?? FURTHER[name];
  if (found === undefined) throw new RangeError(`There is no change "${name}": expected ${CHANGE_NAMES.join(", ")}`);
  return found.change;
}
