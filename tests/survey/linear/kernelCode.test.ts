import { expect, test } from "vitest";
import { sourcesMark } from "../../../src/setup/kernels.mjs";
import { KERNEL_SOURCES } from "../../../src/survey/linear/kernelCode.js";

// that it is what the sources come to, to the byte, npm run kernels -- --check says, which needs their compiler
test("the kernels were compiled from the sources as they stand (else: npm run kernels)", () => {
  expect(KERNEL_SOURCES).toBe(sourcesMark());
});
