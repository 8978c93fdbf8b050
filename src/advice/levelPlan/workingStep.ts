/** One step at the bench: what it is called, and what to do, sentence by sentence. */
export type WorkingStep = { readonly heading: string; readonly sentences: readonly string[] };
