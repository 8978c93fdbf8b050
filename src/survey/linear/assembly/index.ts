/** The arithmetic of the blocks, nearly all of a survey's time: compiled to WebAssembly, which takes two numbers at a time. Written in AssemblyScript; `npm run kernels` compiles it into `../kernelCode.ts`. */
export { blocks, diagonal, factor, first, gain, inverse, lanes, own, panelAt, rowPlace, rowStart, runAt, runFrom, runHeight, runRow, runRowStart, runStart, runTo, square, triangle, vectors } from "./memory";
export { factorise } from "./factor";
export { invert } from "./inverse";
export { solveBackward, solveForward } from "./solve";
