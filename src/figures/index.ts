export { neckFigure } from "./neckFigure.js";
export type { NeckFigureOptions } from "./neckFigure.js";
export type { DrawnRelief } from "./drawing.js";
export type { Figure, Json, JsonObject } from "./figure.js";
