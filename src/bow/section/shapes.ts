import beta from "@stdlib/math-base-special-beta";
import { gaussLegendre } from "../../survey/likelihood/gaussLegendre.js";

/** A plane shape: area, centroid above the line z = 0 it is measured from, second moment about its own centroid. */
export type Shape = { readonly areaMm2: number; readonly centroidMm: number; readonly ownMm4: number };

/**
 * A rectangle.
 * @param widthMm across the neck
 * @param fromMm lower edge above the line z = 0
 * @param toMm upper edge
 * @example near(rectangle(2, 0, 6).ownMm4, 36, { abs: 1e-12 });
 */
export function rectangle(widthMm: number, fromMm: number, toMm: number): Shape {
  const heightMm = toMm - fromMm;
  return { areaMm2: widthMm * heightMm, centroidMm: (fromMm + toMm) / 2, ownMm4: (widthMm * heightMm ** 3) / 12 };
}

/** Per unit of width and depth: moments of the quarter superellipse about its flat. */
export type BackShape = { readonly area: number; readonly first: number; readonly second: number };

/**
 * The constants of a neck's back of superellipse shape |2y/w|^n + |z/d|^n = 1: exponent 2 is a half ellipse, larger is boxier, 1 is a wedge.
 * @param exponent n, 1 or more
 * @returns moments of order 0, 1, 2 of t -> (1 - t^n)^(1/n) on 0..1, which are B((k + 1)/n, 1 + 1/n)/n
 * @throws {RangeError} an exponent below 1 or not finite
 * @source substitution u = t^n turns the integral into Euler's beta function (NIST DLMF 5.12.1); half ellipse checked in tests/published/section-shapes.test.ts
 * @example near(backShape(2).area, Math.PI / 4, { abs: 1e-14 });
 */
export function backShape(exponent: number): BackShape {
  if (!(exponent >= 1) || !Number.isFinite(exponent)) throw new RangeError(`Cannot shape a neck's back: expected an exponent of 1 (wedge) or more, 2 for a half ellipse, got ${exponent}`);
  const moment = (order: number): number => beta((order + 1) / exponent, 1 + 1 / exponent) / exponent;
  return { area: moment(0), first: moment(1), second: moment(2) };
}

/**
 * Half a superellipse hanging below the glue line.
 * @param widthMm at the glue line
 * @param depthMm of wood below the glue line at the middle
 * @example near(back(backShape(2), 42, 18).ownMm4, 13442.154484, { rel: 1e-9 });
 */
export function back(shape: BackShape, widthMm: number, depthMm: number): Shape {
  const areaMm2 = widthMm * depthMm * shape.area;
  const centroidMm = (-depthMm * shape.first) / shape.area;
  return { areaMm2, centroidMm, ownMm4: widthMm * depthMm ** 3 * shape.second - areaMm2 * centroidMm ** 2 };
}

const ARC = gaussLegendre(10);

/**
 * A fingerboard on the glue line: flat below, its top an arc of the fingerboard radius, thickest at the middle.
 * Integrated over the arc's angle, where the integrand is entire, so that ten nodes are exact to rounding and a huge radius cancels nothing.
 * @param thicknessMm at the middle
 * @param radiusMm Infinity is flat
 * @throws {RangeError} a board that would run out to nothing before its edges
 * @source circular segment; checked in tests/published/section-shapes.test.ts
 * @example near(boardShape(50, 6, Infinity).areaMm2, 300, { abs: 1e-12 });
 */
export function boardShape(widthMm: number, thicknessMm: number, radiusMm: number): Shape {
  if (!Number.isFinite(radiusMm)) return rectangle(widthMm, 0, thicknessMm);
  const half = Math.asin(Math.min(1, widthMm / 2 / radiusMm));
  const edgeMm = thicknessMm - 2 * radiusMm * Math.sin(half / 2) ** 2;
  if (!(widthMm / 2 <= radiusMm) || !(edgeMm >= 0)) {
    throw new RangeError(`Cannot shape a board of ${thicknessMm} mm with a radius of ${radiusMm} mm across ${widthMm} mm: its edges would have ${edgeMm.toFixed(2)} mm left (check the board's thickness, its width and fingerboardRadius)`);
  }
  let [areaMm2, first, second] = [0, 0, 0];
  for (const [index, node] of ARC.nodes.entries()) {
    const angle = half * node;
    const topMm = thicknessMm - 2 * radiusMm * Math.sin(angle / 2) ** 2;
    const strip = 2 * half * radiusMm * Math.cos(angle) * (ARC.weights[index] ?? 0);
    areaMm2 += strip * topMm;
    first += (strip * topMm ** 2) / 2;
    second += (strip * topMm ** 3) / 3;
  }
  const centroidMm = first / areaMm2;
  return { areaMm2, centroidMm, ownMm4: second - areaMm2 * centroidMm ** 2 };
}
