export * from "./units/index.js";
export * from "./neck/index.js";
export * from "./readings/index.js";
export * from "./survey/index.js";
export * from "./shape/index.js";
export * from "./bow/index.js";
export * from "./advice/index.js";
export * from "./figures/index.js";
