export { shipReport, STAGES } from "./ship.js";
export type { ShipAbout, ShipReport, Stage } from "./ship.js";
export type { ShipCheck, ShipState } from "./judged.js";
export type { KnownBeside } from "./checks.js";
