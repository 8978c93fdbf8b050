import type { Neck } from "../../neck/neck.js";
import { priorBelief, believedDraws, middleUnknowns, type BowBelief, type BowPrediction } from "../calibration/belief.js";
import { clampStraining, type Clamp } from "../cases/gluing.js";
import { eigenstrained } from "../cases/eigenstrain.js";
import { rodStraining } from "../cases/rod.js";
import { reliefOf, unstrained } from "../cases/straining.js";
import { stringStraining } from "../cases/strings.js";
import { freeBoard, gluedBoard, pressedAfter } from "../cases/tangCases.js";
import { effectOf, type Effect, type Straining } from "../effect.js";
import type { Climate } from "../moisture/equilibrium.js";
import { seasonalChange, type SeasonalChange } from "../moisture/season.js";
import { bowSequence, type BowSequence } from "../sequence/sequence.js";
import { prepareWork, reliefAfter } from "../sequence/draw.js";
import type { OrderOfWork, StageName } from "../sequence/work.js";
import { stringLoad } from "../strings/stringLoad.js";
import type { TangHold } from "../tang/pressure.js";
import { rangeOf } from "../uncertainty/range.js";
import { bowPriors } from "../unknowns/priors.js";
import { woodProperties } from "../woods/woodProperties.js";
import { prepareBow, type BowSetup } from "./setup.js";
import { bowRoom, bowState, type BowState } from "./state.js";

/** Choices for a bow model; all may be left out. */
export type BowModelOptions = {
  /** The two seasons between which moisture is asked about. */
  readonly season?: { readonly from: Climate; readonly to: Climate };
  /** What is believed of the neck's unknowns; before any reading, what books and practice say. */
  readonly belief?: BowBelief;
  readonly held?: "from the joint" | "free";
  readonly hold?: TangHold;
};

/** The bow of a neck, cause by cause and in order of work. Every effect has the range that the unknowns leave; forward bow (middle low) is positive. */
export type BowModel = {
  readonly setup: BowSetup;
  readonly belief: BowBelief;
  readonly season?: SeasonalChange;
  /** Everything taken because it was not given, in a builder's words. */
  readonly assumed: readonly string[];
  /** Case 2: the fretted board, free. */
  readonly tangPressure: () => Effect;
  /** What is left of the fretted board's bow in the glued neck; a clamp that was not flat adds its own part. */
  readonly gluing: (clamp?: Clamp) => Effect;
  /** The same frets pressed after glue-up. */
  readonly pressedAfter: () => Effect;
  /** One whole turn of the rod tighter, beyond its dead zone. */
  readonly rodPerTurn: () => Effect;
  readonly strings: () => Effect;
  /** Between the two seasons that were given. */
  readonly moisture: () => Effect;
  readonly sequence: (work: OrderOfWork) => BowSequence;
  /** Relief at the middle fret after a stage as a function of the unknowns: what calibration and advice work with. The last stage where none is named. */
  readonly prediction: (work: OrderOfWork, stage?: StageName) => BowPrediction;
};

const DRAWS = 400;
const SEED = 20_26;

/**
 * The bow model of a neck: woods and strings looked up, everything that was not given listed as assumed.
 * @param neck a neck from `readNeck`
 * @param options seasons, an own belief from calibration, how neck and tangs are held
 * @returns functions for each cause and for whole orders of work
 * @throws {RangeError} a wood that is not known, or sizes that make no neck
 * @example equal(bowModel(valueOrThrow(readNeck({ name: "first", scaleLength: 648, frets: 22, bodyJoint: 16 }), "neck")).strings().reliefMm > 0, true);
 */
export function bowModel(neck: Neck, options: BowModelOptions = {}): BowModel {
  const woods = { board: woodProperties(neck.woods?.board, "board"), neck: woodProperties(neck.woods?.neck, "neck") };
  const load = stringLoad(neck);
  const season = options.season === undefined ? undefined : seasonalChange(neck, options.season.from, options.season.to);
  const strains = season && { board: season.board.alongStrain, uBoard: season.board.alongU, neck: season.neck.alongStrain, uNeck: season.neck.alongU };
  const belief = options.belief ?? priorBelief(bowPriors(neck, strains));
  const setup = prepareBow(neck, {
    moduli: { boardMPa: woods.board.modulusMPa, neckMPa: woods.neck.modulusMPa }, ...(load.pull === undefined ? {} : { pull: load.pull }),
    grain: { across: woods.board.tangentialOverLong, shear: woods.board.shearOverLong, poisson: 0.35 },
    ...(options.hold === undefined ? {} : { hold: options.hold }), ...(options.held === undefined ? {} : { held: options.held }),
  });
  const effect = (cause: string, strain: (state: BowState, into: Straining) => Straining, on: "board" | "neck" = "neck"): Effect => rangedEffect(setup, belief, cause, strain, on);
  return {
    setup, belief, ...(season === undefined ? {} : { season }),
    assumed: [...new Set([...neck.assumed, ...setup.assumed, ...woods.board.assumed, ...woods.neck.assumed, ...load.assumed, ...(season?.assumed ?? [])])],
    tangPressure: () => effect("tang pressure in the free board", freeBoard, "board"),
    gluing: (clamp = { kind: "flat" }) => effect("the fretted board's bow after glue-up", (state, into) => gluing(state, clamp, into)),
    pressedAfter: () => effect("tang pressure of frets pressed after glue-up", pressedAfter),
    rodPerTurn: () => effect("one turn of the rod tighter", oneTurn),
    strings: () => effect("strings", stringStraining),
    moisture: () => {
      if (season === undefined) throw new RangeError('Cannot give the bow by moisture: the model was made without seasons (give season: { from: { humidityPercent, celsius }, to: { … } })');
      return effect("the season's moisture", (state, into) => eigenstrained(state, state.unknowns.boardSeasonStrain, state.unknowns.neckSeasonStrain, into));
    },
    sequence: (work) => bowSequence(setup, belief, work),
    prediction: (work, stage) => {
      const prepared = prepareWork(setup, work);
      return (unknowns) => reliefAfter(prepared, unknowns, stage);
    },
  };
}

function rangedEffect(setup: BowSetup, belief: BowBelief, cause: string, strain: (state: BowState, into: Straining) => Straining, on: "board" | "neck"): Effect {
  const [span, influence] = on === "board" ? [setup.boardSpan, setup.boardInfluence] : [setup.span, setup.influence];
  const room = bowRoom(setup);
  const scratch = unstrained(setup.grid);
  const range = rangeOf(believedDraws(belief, DRAWS, SEED).map((unknowns) => reliefOf(influence, strain(bowState(setup, unknowns, room), scratch))));
  return effectOf(cause, setup.grid, strain(bowState(setup, middleUnknowns(belief)), unstrained(setup.grid)), span, range);
}

function gluing(state: BowState, clamp: Clamp, into: Straining): Straining {
  const left = gluedBoard(state, into);
  if (clamp.kind === "flat") return left;
  const bent = clampStraining(state, clamp);
  for (let point = 0; point < left.curvaturePerMm.length; point++) left.curvaturePerMm[point] = (left.curvaturePerMm[point] ?? 0) + (bent.curvaturePerMm[point] ?? 0);
  for (let node = 0; node < left.kinkRad.length; node++) left.kinkRad[node] = (left.kinkRad[node] ?? 0) + (bent.kinkRad[node] ?? 0);
  return left;
}

/** One turn beyond the dead zone, whatever that is. */
function oneTurn(state: BowState, into: Straining): Straining {
  return rodStraining(state, 1 + state.unknowns.rodDeadZoneTurns, into);
}
