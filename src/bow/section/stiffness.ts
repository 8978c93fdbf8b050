import type { GeometryAlong } from "./geometry.js";

/** Stiffness along the grain of the two woods, MPa, as they bend (no shear deflection inside). */
export type WoodModuli = { readonly boardMPa: number; readonly neckMPa: number };

/**
 * Stiffnesses at the places of a geometry, moduli inside: EA in N, EI in N mm², elastic axis above the glue line in mm.
 * `board` and `neck` are the two parts alone, each about its own axis; the neck has its bars; `composite` is both glued together.
 */
export type SectionAlong = {
  readonly xMm: Float64Array;
  readonly board: StiffnessAlong;
  readonly neck: StiffnessAlong;
  readonly composite: StiffnessAlong;
};

/** EA in N, elastic axis above the glue line in mm, EI about that axis in N mm², at each place. */
export type StiffnessAlong = { readonly eaN: Float64Array; readonly zbarMm: Float64Array; readonly eiNmm2: Float64Array };

/** Room for the stiffnesses of `places` sections, so that draws need not make new arrays. */
export function emptySections(xMm: Float64Array): SectionAlong {
  const part = (): StiffnessAlong => ({ eaN: new Float64Array(xMm.length), zbarMm: new Float64Array(xMm.length), eiNmm2: new Float64Array(xMm.length) });
  return { xMm, board: part(), neck: part(), composite: part() };
}

/**
 * Stiffens a geometry: transformed section of board, neck (with bars) and both glued together, at every place.
 * @param moduli MPa along the grain
 * @param into where to write; made anew if absent
 * @returns EA, elastic axis and EI of the three
 * @throws {RangeError} a modulus that is not finite and above 0
 * @source parallel-axis sums over the two parts, as `stackStiffness`
 */
export function sectionsAlong(geometry: GeometryAlong, { boardMPa, neckMPa }: WoodModuli, into: SectionAlong = emptySections(geometry.xMm)): SectionAlong {
  if (!(boardMPa > 0 && neckMPa > 0 && Number.isFinite(boardMPa + neckMPa))) throw new RangeError(`Cannot stiffen a neck: expected stiffnesses above 0 MPa, got ${boardMPa} for the board and ${neckMPa} for the neck`);
  const { board, neck, bars } = geometry;
  const { board: b, neck: n, composite: c } = into;
  for (let index = 0; index < geometry.xMm.length; index++) {
    const zb = board.centroidMm[index] ?? 0;
    const eab = boardMPa * (board.areaMm2[index] ?? 0);
    const eib = boardMPa * (board.ownMm4[index] ?? 0);
    const area = neck.areaMm2[index] ?? 0;
    const centroid = neck.centroidMm[index] ?? 0;
    const ean = neckMPa * area + (bars.eaN[index] ?? 0);
    const zn = (neckMPa * area * centroid + (bars.firstNmm[index] ?? 0)) / ean;
    const ein = neckMPa * ((neck.ownMm4[index] ?? 0) + area * centroid * centroid) + (bars.secondNmm2[index] ?? 0) - ean * zn * zn;
    const ea = eab + ean;
    b.eaN[index] = eab;
    b.zbarMm[index] = zb;
    b.eiNmm2[index] = eib;
    n.eaN[index] = ean;
    n.zbarMm[index] = zn;
    n.eiNmm2[index] = ein;
    c.eaN[index] = ea;
    c.zbarMm[index] = (eab * zb + ean * zn) / ea;
    c.eiNmm2[index] = eib + ein + ((eab * ean) / ea) * (zb - zn) * (zb - zn);
  }
  return into;
}
