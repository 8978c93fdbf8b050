// danfojs asks for the whole of tensorflow, only to add and multiply whole frames in 32 bit; this refuses instead.
const refuse = (name) => function () { throw new Error(`Tables: "${name}" needs tensor arithmetic, which is left out here; do the arithmetic in neck-survey and show the result`); };
module.exports = new Proxy({}, { get: (_target, name) => typeof name === "symbol" || ["__esModule", "default", "then"].includes(name) ? undefined : refuse(name) });
