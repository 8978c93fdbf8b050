import { describe, expect, test } from "vitest";
import { backShape, boardShape } from "neck-survey";
import { back, rectangle } from "../../src/bow/section/shapes.js";
import { published } from "./printed.js";

/*
 * Half ellipse: G. Bar-Meir, Basics of Fluid Mechanics (open text), table of geometry: A = pi w b/4, centroid 4b/(3 pi) from the flat,
 * I about its own centroid w b^3 (pi/16 - 4/(9 pi)). Circular segment: W. C. Young, Roark's Formulas, App. A (from memory), checked by quadrature.
 */
describe("shapes of a neck's section against published ones", () => {
  test.each([[42, 18], [50, 14], [43, 25]])("half ellipse %s mm wide, %s mm deep", (w, b) => {
    const half = back(backShape(2), w, b);
    published(half.areaMm2, (Math.PI * w * b) / 4, 1e-10);
    published(half.centroidMm, (-4 * b) / (3 * Math.PI), 1e-12);
    published(half.ownMm4, w * b ** 3 * (Math.PI / 16 - 4 / (9 * Math.PI)), 1e-8);
    expect(() => published(back(backShape(2.01), w, b).ownMm4, w * b ** 3 * (Math.PI / 16 - 4 / (9 * Math.PI)), 1e-8)).toThrow(); // control
  });

  test.each([[50, 6, 304.8], [56, 5, 184], [43, 7, 228.6], [30, 20, 16]])("board %s mm wide, %s mm thick, radius %s mm: a rectangle under a circular segment", (width, thick, R) => {
    const theta = 2 * Math.asin(width / 2 / R);
    const area = (R ** 2 * (theta - Math.sin(theta))) / 2;
    const fromCentre = (4 * R * Math.sin(theta / 2) ** 3) / (3 * (theta - Math.sin(theta)));
    const about = (R ** 4 / 8) * (theta - Math.sin(theta) + 2 * Math.sin(theta) * Math.sin(theta / 2) ** 2);
    const centreZ = thick - R;
    const edge = thick - R * (1 - Math.cos(theta / 2));
    const under = rectangle(width, 0, edge);
    const total = under.areaMm2 + area;
    const centroid = (under.areaMm2 * under.centroidMm + area * (centreZ + fromCentre)) / total;
    const second = under.ownMm4 + under.areaMm2 * under.centroidMm ** 2 + about - area * fromCentre ** 2 + area * (centreZ + fromCentre) ** 2;
    const board = boardShape(width, thick, R);
    published(board.areaMm2, total, 1e-9 * total);
    published(board.centroidMm, centroid, 1e-8 * centroid);
    published(board.ownMm4, second - total * centroid ** 2, 1e-5 * board.ownMm4); // the closed form itself cancels digits
    expect(() => published(boardShape(width, thick * 1.001, R).areaMm2, total, 1e-9 * total)).toThrow(); // control
  });
});
