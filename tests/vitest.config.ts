import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const root = fileURLToPath(new URL("..", import.meta.url));

export default defineConfig({
  root,
  resolve: {
    alias: [
      { find: /^neck-survey\/notebook$/, replacement: `${root}src/notebook/index.ts` },
      { find: /^neck-survey$/, replacement: `${root}src/index.ts` },
    ],
  },
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/browser/**"],
    maxWorkers: "100%", // all cores: one is left free otherwise, which is half of a small machine
    isolate: false, // files share loaded modules: loading them anew for each took more time than the tests
    testTimeout: 30_000, // a guard against hanging, with room for a busy machine; how fast something must be is asserted where it matters
    coverage: {
      provider: "v8",
      include: ["src/**/*.ts"],
      exclude: ["**/*.d.ts"],
      reportsDirectory: `${root}node_modules/.coverage`,
    },
  },
});
