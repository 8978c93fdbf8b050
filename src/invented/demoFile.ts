/** A file of the demonstration: where it belongs under `data-demo/`, and its text. */
export type DemoFile = { readonly path: string; readonly text: string };

/** JSON with numbers rounded to a picometre, so that the last bits of a processor's arithmetic do not show. */
export function demoJson(value: unknown): string {
  return `${JSON.stringify(value, (_, inner: unknown) => (typeof inner === "number" ? Number(inner.toFixed(9)) + 0 : inner), 2)}\n`;
}
