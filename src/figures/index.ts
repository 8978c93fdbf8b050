export { neckFigure } from "./neckFigure.js";
export type { NeckFigureOptions } from "./neckFigure.js";
export type { DrawnRelief } from "./drawing.js";
export type { HeightScale, NarrowerLayout, Figure, Json, JsonObject } from "./figure.js";
export { bowFigure } from "./bowFigure.js";
export type { BowFigureOptions } from "./bowFigure.js";
export type { DrawnBow, DrawnCause } from "./bowDrawing.js";
export { openingFigure } from "./openingFigure.js";
export type { DrawnOpenings, OpeningStep } from "./openingFigure.js";
