// What is asked of the figures on a page.
import { readFileSync } from "node:fs";

const figure = '[class*="neck-figure-"]';
const stillFigure = 'img[src^="data:image/svg+xml;base64,"]';

/** How many figures a notebook's file holds. @param {{ cells: readonly any[] }} notebook */
export const figuresIn = ({ cells }) =>
  cells.flatMap((cell) => cell.outputs ?? []).filter((output) => [output.data?.["text/html"] ?? ""].flat().join("").includes("data:image/svg+xml;base64,")).length;

/** Waits until so many figures are drawn, as a still picture or live, and no more are there. @param {import("playwright-core").Page} page @param {number} wanted @param {{ live?: boolean }} [how] */
export const untilDrawn = (page, wanted, { live: mustLive = false } = {}) =>
  page.waitForFunction(
    ({ live, still, noStill, count }) => {
      const lives = [...document.querySelectorAll(live)].filter((element) => element.getAttribute("data-live") === "1");
      const stills = [...document.querySelectorAll(still)].filter((element) => element instanceof HTMLImageElement && getComputedStyle(element).display !== "none"); // a live figure hides its still picture
      const isDrawn = lives.every((element) => element.querySelector("svg.main-svg .trace, svg.main-svg .scatterlayer path") !== null);
      const isLoaded = stills.every((image) => image.complete && image.naturalWidth > 100 && image.offsetWidth > 100);
      return isDrawn && isLoaded && lives.length + stills.length === count && !(noStill && stills.length > 0);
    },
    { live: figure, still: stillFigure, noStill: mustLive, count: wanted },
  ).then(() => true, () => false);

/** What is shown when the pointer rests on a mark that has readings behind it. @param {import("playwright-core").Page} page @returns {Promise<string>} */
export async function hoverText(page) {
  const spots = await page.evaluate((selector) => {
    const elements = [...document.querySelectorAll(`${selector} .js-plotly-plot`)];
    return elements.flatMap((/** @type {any} */ plot) =>
      plot._fullData.flatMap((/** @type {any} */ trace, /** @type {number} */ index) => {
        const points = plot.calcdata[index] ?? [];
        if (trace.hoverinfo === "skip" || trace.visible !== true || !/markers|lines/.test(String(trace.mode))) return [];
        const [x, y] = [plot._fullLayout[`xaxis${trace.xaxis.slice(1)}`], plot._fullLayout[`yaxis${trace.yaxis.slice(1)}`]];
        const box = plot.getBoundingClientRect();
        return [0.5, 0.25, 0].map((share) => points[Math.floor(share * (points.length - 1))]).filter((/** @type {any} */ point) => point !== undefined).map((/** @type {any} */ point) => ({ x: box.left + x._offset + x.c2p(point.x), y: box.top + y._offset + y.c2p(point.y) }));
      }),
    );
  }, figure);
  let last = "";
  for (const { x, y } of spots.slice(0, 60)) {
    await page.mouse.move(x - 3, y - 3);
    await page.mouse.move(x, y, { steps: 3 });
    const shown = await page.waitForFunction((selector) => [...document.querySelectorAll(`${selector} .hoverlayer .hovertext`)].map((label) => label.textContent ?? "").join(" "), figure, { timeout: 2000 }).catch(() => undefined);
    const text = shown === undefined ? "" : await shown.jsonValue();
    if (/\bmm\b/.test(text) && /\bthou\b/.test(text)) return text;
    if (text !== "") last = text;
  }
  return `(of ${spots.length} marks none answered with both units; the last said "${last}")`;
}

/** Smallest type in any live figure, px as laid out. @param {import("playwright-core").Page} page @returns {Promise<number>} */
export const smallestTypePx = (page) =>
  page.evaluate((selector) => {
    const texts = [...document.querySelectorAll(`${selector} svg text`)].filter((text) => (text.textContent ?? "").trim() !== "");
    const sizes = texts.map((text) => {
      const matrix = text instanceof SVGGraphicsElement ? text.getScreenCTM() : null;
      return Number.parseFloat(getComputedStyle(text).fontSize) * (matrix === null ? 1 : Math.hypot(matrix.a, matrix.b));
    });
    return Math.min(...sizes);
  }, figure);

/** Pairs of texts of a live figure that lie over each other. @param {import("playwright-core").Page} page @returns {Promise<readonly string[]>} */
export const overlaps = (page) =>
  page.evaluate((selector) =>
    [...document.querySelectorAll(selector)].flatMap((element) => {
      const texts = [...element.querySelectorAll("svg text")].filter((text) => (text.textContent ?? "").trim() !== "" && text.closest(".hoverlayer") === null);
      const boxes = texts.map((text) => ({ text: text.textContent ?? "", box: text.getBoundingClientRect() })).filter(({ box }) => box.width > 0);
      return boxes.flatMap((a, index) => boxes.slice(index + 1).flatMap((b) => {
        const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
        const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
        return wide > 2 && high > 3 ? [`"${a.text}" over "${b.text}"`] : [];
      }));
    }), figure);

/** Moves every slider of the live figures, or of one, to its end; what each said before and after. @param {import("playwright-core").Page} page @param {import("playwright-core").Locator} [within] @returns {Promise<readonly { before: string, after: string }[]>} */
export async function movedSliders(page, within = page.locator(figure)) {
  const sliders = within.locator(".slider-container");
  const count = await sliders.count();
  /** @type {{ before: string, after: string }[]} */
  const moved = [];
  for (let index = 0; index < count; index++) {
    const slider = sliders.nth(index);
    const said = () => slider.locator(".slider-labels, .slider-label-group, text").allTextContents().then((texts) => texts.join("|"));
    const grip = slider.locator(".slider-grip-rect");
    const rail = slider.locator(".slider-rail-rect, .slider-rail-touch-rect").first();
    const before = `${await said()} ${await grip.getAttribute("transform")}`;
    const [from, along] = [await grip.boundingBox(), await rail.boundingBox()];
    if (from === null || along === null) continue;
    await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
    await page.mouse.down();
    await page.mouse.move(along.x + along.width - 4, from.y + from.height / 2, { steps: 8 });
    await page.mouse.up();
    await page.waitForTimeout(600);
    moved.push({ before, after: `${await said()} ${await grip.getAttribute("transform")}` });
  }
  return moved;
}

/** Presses a figure's button and reads the file it saves. @param {import("playwright-core").Page} page @param {import("playwright-core").Locator} plot @param {"SVG" | "PNG"} format @returns {Promise<Buffer>} */
async function saved(page, plot, format) {
  await plot.hover({ position: { x: 60, y: 20 } });
  const [download] = await Promise.all([page.waitForEvent("download"), plot.locator(`.modebar-btn[data-title^="Save as ${format}"]`).click()]);
  return readFileSync(await download.path());
}

/** How far two saved pictures differ, drawn on one size: the share of their dots that are not alike. @param {import("playwright-core").Page} page @param {string} one @param {string} other addresses with the data in them */
const difference = (page, one, other) =>
  page.evaluate(async (addresses) => {
    const [width, height] = [900, 540];
    const dots = await Promise.all(addresses.map(async (address) => {
      const image = new Image();
      image.src = address;
      await image.decode();
      const canvas = Object.assign(document.createElement("canvas"), { width, height });
      const ink = canvas.getContext("2d", { willReadFrequently: true });
      if (ink === null) throw new Error("this browser draws nothing");
      ink.fillStyle = "#fff";
      ink.fillRect(0, 0, width, height);
      ink.drawImage(image, 0, 0, width, height);
      return ink.getImageData(0, 0, width, height).data;
    }));
    const [first, second] = dots;
    let unlike = 0;
    for (let at = 0; at < width * height * 4; at += 4) if (Math.abs((first?.[at] ?? 0) - (second?.[at] ?? 0)) > 96) unlike += 1;
    return unlike / (width * height);
  }, [one, other]);

/** What was saved of a figure. @typedef {{ svg: string, png: Buffer }} Saved */

/** @param {import("playwright-core").Page} page @param {import("playwright-core").Locator} plot @returns {Promise<Saved>} */
const savedBoth = async (page, plot) => ({ svg: (await saved(page, plot, "SVG")).toString("utf8"), png: await saved(page, plot, "PNG") });

/** @param {Buffer} png @returns {number} its width in dots, from its header */
const widthOf = (png) => png.readUInt32BE(16);

/**
 * Saves every live figure through its buttons; one with a slider once more with the slider at its end.
 * @param {import("playwright-core").Page} page
 * @returns {Promise<readonly { what: string, ok: boolean, found: string }[]>}
 */
export async function exported(page) {
  const plots = page.locator(`${figure} .js-plotly-plot`);
  const found = [];
  for (let index = 0; index < (await plots.count()); index++) {
    const plot = plots.nth(index);
    const first = await savedBoth(page, plot);
    const widthPx = await plot.evaluate((/** @type {any} */ element) => element._fullLayout.width);
    const svgPx = Number(/<svg[^>]* width="(\d+)/.exec(first.svg)?.[1]);
    found.push({ what: `figure ${index + 1} is saved as SVG and as PNG of three times its width`, ok: svgPx >= widthPx && widthOf(first.png) === 3 * svgPx, found: `SVG ${svgPx} px, PNG ${widthOf(first.png)} dots, on the page ${widthPx} px` });
    if ((await plot.locator(".slider-container").count()) === 0) continue;
    const [moved] = await movedSliders(page, plot);
    const says = (await plot.locator(".slider-container text").allTextContents()).find((text) => text.includes(": ")) ?? "(the slider says nothing)";
    const after = await savedBoth(page, plot);
    const [svg, png, pngBefore] = [`data:image/svg+xml;base64,${Buffer.from(after.svg).toString("base64")}`, `data:image/png;base64,${after.png.toString("base64")}`, `data:image/png;base64,${first.png.toString("base64")}`];
    const plain = (/** @type {string} */ text) => text.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
    const [alike, apart] = [await difference(page, svg, png), await difference(page, pngBefore, png)];
    found.push(
      { what: `figure ${index + 1} with its slider moved is saved as SVG as it stands`, ok: moved !== undefined && plain(after.svg).includes(says) && !plain(first.svg).includes(says), found: `the slider says "${says}"` },
      { what: `figure ${index + 1} with its slider moved is saved as PNG as it stands (of its dots ${(100 * alike).toFixed(2)} % unlike the SVG, ${(100 * apart).toFixed(2)} % unlike the one before)`, ok: alike < 0.01 && apart > 3 * alike && apart > 0.01, found: "not so" },
    );
  }
  return found;
}
