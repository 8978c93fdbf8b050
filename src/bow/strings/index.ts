export { noteFrequencyHz } from "./pitch.js";
export { plainMassKgM, stringTension, tensionN, woundMassKgM } from "./tension.js";
export type { StringMaterial, StringTension } from "./tension.js";
export { STRING_CAUTION, stringLoad } from "./stringLoad.js";
export type { StringLoad } from "./stringLoad.js";
