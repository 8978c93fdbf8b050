import { createRequire } from "node:module";
import { MessageChannel, receiveMessageOnPort, Worker, type MessagePort } from "node:worker_threads";
import type { Figure } from "../figures/figure.js";
import { libraryHtml } from "./library.js";
import { isInKernel } from "./outlet.js";
import { stillSvg } from "./still.js";

/** What the drawing thread is asked: the figure as JSON, and where a cell that waits for it listens. */
export type DrawingJob = { readonly id: number; readonly json: string; readonly wait?: { readonly flag: Int32Array; readonly port: MessagePort } };
/** Where the thread leaves the packed library once it is done. */
export type DrawingShelf = { readonly shelf: MessagePort };
/** What it answers. */
export type Drawn = { readonly id: number; readonly svg?: string; readonly why?: string };

type Pending = { readonly resolve: (svg: string) => void; readonly reject: (error: Error) => void };

/** Longest that a cell waits for the drawing thread before it draws by itself, ms. */
const PATIENCE_MS = 30_000;
/** How often the shelf is looked at while the library is not there yet, ms. */
const LOOK_MS = 50;
/** Pictures kept, so that a cell that is run again, or a card of what was just shown, is not drawn anew. */
const KEPT = 12;

const kept = new Map<string, string>();
const pending = new Map<number, Pending>();
let thread: Worker | undefined;
let shelf: MessagePort | undefined;
let packed: string | undefined;
let isBroken = false;
let jobs = 0;

/** Has the page and the plotting library loaded on another core while the builder reads: call it when a notebook begins. */
export function prepareDrawing(): void {
  if (isInKernel() && process.env["NECK_SURVEY_FIGURES"] !== "still") openThread();
}

/** The still picture of a figure, drawn beside the kernel: the cell need not wait for it. */
export async function drawnLater(figure: Figure): Promise<string> {
  const json = JSON.stringify(figure);
  const before = kept.get(json);
  if (before !== undefined) return before;
  const svg = await answerTo(json).catch(() => stillSvg(figure));
  keep(json, svg);
  return svg;
}

/** The plotting library as HTML for a page, packed beside the kernel; undefined as long as it is not packed. Looked for, not listened for: a cell that keeps the kernel busy would keep the answer back. */
export function libraryNow(): string | undefined {
  const found: { readonly message: string } | undefined = shelf === undefined ? undefined : receiveMessageOnPort(shelf);
  return (packed ??= found?.message);
}

/** The same, as soon as it is packed; packed here where the thread is gone or slow. */
export async function libraryLater(until: number = Date.now() + PATIENCE_MS): Promise<string> {
  const html = libraryNow();
  if (html !== undefined) return html;
  if (openThread() === undefined || Date.now() > until) return (packed ??= libraryHtml());
  await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
  return libraryLater(until);
}

/** The still picture of a figure, waited for. In a notebook the drawing thread makes it, since that has all loaded. */
export function drawnNow(figure: Figure): string {
  if (!isInKernel()) return stillSvg(figure);
  const json = JSON.stringify(figure);
  const svg = kept.get(json) ?? waitedFor(json) ?? stillSvg(figure);
  keep(json, svg);
  return svg;
}

function keep(json: string, svg: string): void {
  kept.delete(json);
  kept.set(json, svg);
  const [oldest] = kept.keys();
  if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest);
}

function openThread(): Worker | undefined {
  if (thread !== undefined || isBroken) return thread;
  try {
    const { port1, port2 } = new MessageChannel();
    const opened = new Worker(createRequire(import.meta.url).resolve("./drawingThread.js"), { workerData: { shelf: port2 } satisfies DrawingShelf, transferList: [port2] });
    opened.on("message", settle);
    opened.on("error", (error) => giveUp(error));
    opened.unref(); // it alone keeps no kernel alive
    thread = opened;
    shelf = port1;
  } catch {
    isBroken = true;
  }
  return thread;
}

function answerTo(json: string): Promise<string> {
  const worker = openThread();
  if (worker === undefined) return Promise.reject(new Error("there is no drawing thread"));
  return new Promise((resolve, reject) => {
    const id = jobs++;
    pending.set(id, { resolve, reject });
    worker.ref();
    worker.postMessage({ id, json } satisfies DrawingJob);
  });
}

function settle({ id, svg, why }: Drawn): void {
  const waiting = pending.get(id);
  pending.delete(id);
  if (pending.size === 0) thread?.unref();
  if (svg === undefined) waiting?.reject(new Error(why ?? "the drawing thread gave no picture"));
  else waiting?.resolve(svg);
}

function giveUp(error: Error): void {
  isBroken = true;
  thread = undefined;
  for (const { reject } of pending.values()) reject(error);
  pending.clear();
}

/** Undefined where the thread does not answer: then the caller draws. */
function waitedFor(json: string): string | undefined {
  const worker = process.env["NECK_SURVEY_FIGURES"] === "still" ? undefined : openThread();
  if (worker === undefined) return undefined;
  const flag = new Int32Array(new SharedArrayBuffer(4));
  const { port1, port2 } = new MessageChannel();
  try {
    worker.postMessage({ id: jobs++, json, wait: { flag, port: port2 } } satisfies DrawingJob, [port2]);
    if (Atomics.wait(flag, 0, 0, PATIENCE_MS) === "timed-out") return undefined;
    const answer: { readonly message: Drawn } | undefined = receiveMessageOnPort(port1);
    return answer?.message.svg;
  } finally {
    port1.close();
  }
}
