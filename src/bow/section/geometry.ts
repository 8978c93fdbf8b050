import { widthMm } from "../../neck/surface.js";
import { fretDistanceMm } from "../../neck/frets.js";
import type { Neck } from "../../neck/neck.js";
import { neckSizes, sizeAtMm, type NeckSizes } from "./assumed.js";
import { back, backShape, boardShape, rectangle, type BackShape } from "./shapes.js";

/** Area, centroid above the glue line and own second moment of one part, at each place along the neck. */
export type PartAlong = { readonly areaMm2: Float64Array; readonly centroidMm: Float64Array; readonly ownMm4: Float64Array };

/**
 * The shape of a neck's sections at a list of places, without any stiffness: made once for a neck, used for every draw.
 * Glue line at z = 0, up is positive, so the neck's wood has negative centroids.
 */
export type GeometryAlong = {
  readonly xMm: Float64Array;
  readonly widthMm: Float64Array;
  /** Thickness of the board at its middle. */
  readonly boardMm: Float64Array;
  /** Depth of the neck's wood below the glue line at its middle. */
  readonly depthMm: Float64Array;
  readonly board: PartAlong;
  /** The neck's wood, channel and bars taken out. */
  readonly neck: PartAlong;
  /** Stiffness of all bars together: EA, its first and second moment about the glue line; N, N mm, N mm². */
  readonly bars: { readonly eaN: Float64Array; readonly firstNmm: Float64Array; readonly secondNmm2: Float64Array };
};

/**
 * The sections of a neck at given places, from what a builder can measure.
 * @param neck a neck from `readNeck`
 * @param xMm places from the nut, mm
 * @param sizes the neck's sizes, defaults filled in
 * @throws {RangeError} a place where the neck would be thinner than its board, its channel deeper than its wood, or a board that runs out at its edges
 */
export function geometryAlong(neck: Neck, xMm: Float64Array, sizes: NeckSizes = neckSizes(neck)): GeometryAlong {
  const n = xMm.length;
  const part = (): PartAlong => ({ areaMm2: new Float64Array(n), centroidMm: new Float64Array(n), ownMm4: new Float64Array(n) });
  const geometry: GeometryAlong = {
    xMm, widthMm: new Float64Array(n), boardMm: new Float64Array(n), depthMm: new Float64Array(n), board: part(), neck: part(),
    bars: { eaN: new Float64Array(n), firstNmm: new Float64Array(n), secondNmm2: new Float64Array(n) },
  };
  const shape = backShape(sizes.backExponent);
  for (let index = 0; index < n; index++) fillSection(geometry, index, neck, sizes, shape);
  return geometry;
}

function fillSection(geometry: GeometryAlong, index: number, neck: Neck, sizes: NeckSizes, shape: BackShape): void {
  const x = geometry.xMm[index] ?? 0;
  const width = widthMm(neck, x);
  const boardMm = sizeAtMm(sizes.board, x);
  const depthMm = sizeAtMm(sizes.total, x) - boardMm;
  if (!(depthMm > 0)) throw new RangeError(`Cannot give the neck a section at ${x.toFixed(0)} mm from the nut: it is ${(depthMm + boardMm).toFixed(2)} mm thick with its board and the board alone ${boardMm.toFixed(2)} mm (check thicknesses.board and thicknesses.total)`);
  geometry.widthMm[index] = width;
  geometry.boardMm[index] = boardMm;
  geometry.depthMm[index] = depthMm;
  put(geometry.board, index, boardShape(width, boardMm, radiusAtMm(neck, x)));
  const wood = momentsOf(back(shape, width, depthMm));
  const { channel } = sizes;
  if (channel !== undefined && x > channel.fromMm && x < channel.toMm) {
    if (channel.depthMm >= depthMm) throw new RangeError(`Cannot let a channel ${channel.depthMm} mm deep into the neck at ${x.toFixed(0)} mm from the nut: it has ${depthMm.toFixed(2)} mm of wood under the board there (check rod.channelDepth and thicknesses)`);
    takeOut(wood, rectangle(channel.widthMm, -channel.depthMm, 0));
  }
  for (const bar of neck.bars ?? []) {
    if (x <= (bar.fromMm ?? -Infinity) || x >= (bar.toMm ?? Infinity)) continue;
    const one = rectangle(bar.widthMm * (bar.count ?? 1), -bar.depthMm - bar.heightMm / 2, -bar.depthMm + bar.heightMm / 2);
    if (bar.depthMm + bar.heightMm / 2 > depthMm || bar.depthMm - bar.heightMm / 2 < -1e-9) throw new RangeError(`Cannot let a bar into the neck at ${x.toFixed(0)} mm from the nut: it reaches from ${(bar.depthMm - bar.heightMm / 2).toFixed(1)} to ${(bar.depthMm + bar.heightMm / 2).toFixed(1)} mm below the glue face, and the wood from 0 to ${depthMm.toFixed(1)} mm (check bars and thicknesses)`);
    takeOut(wood, one);
    addBar(geometry, index, bar.modulusMPa, one);
  }
  if (!(wood.area > 0)) throw new RangeError(`Cannot give the neck a section at ${x.toFixed(0)} mm from the nut: channel and bars leave no wood (check rod.channelWidth and bars)`);
  const centroidMm = wood.first / wood.area;
  put(geometry.neck, index, { areaMm2: wood.area, centroidMm, ownMm4: wood.second - wood.area * centroidMm ** 2 });
}

type Moments = { area: number; first: number; second: number };
type Shaped = { readonly areaMm2: number; readonly centroidMm: number; readonly ownMm4: number };

function momentsOf({ areaMm2, centroidMm, ownMm4 }: Shaped): Moments {
  return { area: areaMm2, first: areaMm2 * centroidMm, second: ownMm4 + areaMm2 * centroidMm ** 2 };
}

function takeOut(moments: Moments, shape: Shaped): void {
  const out = momentsOf(shape);
  moments.area -= out.area;
  moments.first -= out.first;
  moments.second -= out.second;
}

function addBar({ bars }: GeometryAlong, index: number, modulusMPa: number, shape: Shaped): void {
  const { area, first, second } = momentsOf(shape);
  bars.eaN[index] = (bars.eaN[index] ?? 0) + modulusMPa * area;
  bars.firstNmm[index] = (bars.firstNmm[index] ?? 0) + modulusMPa * first;
  bars.secondNmm2[index] = (bars.secondNmm2[index] ?? 0) + modulusMPa * second;
}

function put(part: PartAlong, index: number, { areaMm2, centroidMm, ownMm4 }: Shaped): void {
  part.areaMm2[index] = areaMm2;
  part.centroidMm[index] = centroidMm;
  part.ownMm4[index] = ownMm4;
}

/** The board's radius at x, straight from nut to last fret as the survey takes it. */
function radiusAtMm(neck: Neck, xMm: number): number {
  const { nut, lastFret } = neck.fingerboardRadiusMm;
  return nut === lastFret ? nut : nut + ((lastFret - nut) * xMm) / fretDistanceMm(neck.scaleLengthMm, neck.frets);
}
