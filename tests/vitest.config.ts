import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const root = fileURLToPath(new URL("..", import.meta.url));

export default defineConfig({
  root,
  resolve: { alias: { "neck-survey": `${root}src/index.ts` } },
  test: {
    include: ["tests/**/*.test.ts"],
    coverage: { provider: "v8", include: ["src/**/*.ts"], exclude: ["**/*.d.ts"], reportsDirectory: `${root}node_modules/.coverage` },
  },
});
