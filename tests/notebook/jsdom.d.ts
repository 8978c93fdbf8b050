// The package's own types bring a browser's, and those of its network, into every program that sees node_modules/@types: the notebook kernel would read them at its start.
declare module "jsdom" {
  export class JSDOM {
    constructor(html?: string, options?: { readonly contentType?: string; readonly runScripts?: "outside-only" | "dangerously"; readonly pretendToBeVisual?: boolean });
    readonly window: Window & typeof globalThis & Record<string, unknown>;
  }
}
