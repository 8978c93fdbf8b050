// Every name a user can import says what it means; every function that throws says so.
import { relative, join } from "node:path";
import { root } from "../places.mjs";
import { ts } from "./sources.mjs";

const entries = [join(root, "src", "index.ts"), join(root, "src", "notebook", "index.ts")];

/** @param {any} declaration @returns {any} the function in it, if it is one */
function functionIn(declaration) {
  if (ts.isFunctionDeclaration(declaration)) return declaration;
  const value = ts.isVariableDeclaration(declaration) ? declaration.initializer : undefined;
  return value !== undefined && (ts.isArrowFunction(value) || ts.isFunctionExpression(value)) ? value : undefined;
}

/** @param {any} node @param {boolean} [outermost] @returns {boolean} whether it throws by itself, out of itself */
function throwsDirectly(node, outermost = true) {
  if (ts.isThrowStatement(node)) return true;
  if (!outermost && ts.isFunctionLike(node)) return false;
  if (ts.isTryStatement(node) && node.catchClause !== undefined) return throwsDirectly(node.catchClause, false) || (node.finallyBlock !== undefined && throwsDirectly(node.finallyBlock, false));
  return ts.forEachChild(node, (/** @type {any} */ child) => throwsDirectly(child, false)) === true;
}

/** @param {string} name @param {string} text @returns {boolean} whether the text says more than the name does */
function saysMore(name, text) {
  const words = (/** @type {string} */ of) => of.replace(/([a-z])([A-Z])/g, "$1 $2").toLowerCase().match(/[a-z]{2,}/g) ?? [];
  const inName = new Set(words(name));
  return words(text).filter((word) => !inName.has(word)).length >= 3;
}

/** @param {any} checker @param {any} exported @returns {readonly string[]} */
function faultsOf(checker, exported) {
  // oxlint-disable-next-line no-bitwise
  const symbol = (exported.flags & ts.SymbolFlags.Alias) !== 0 ? checker.getAliasedSymbol(exported) : exported;
  const declaration = symbol.declarations?.[0];
  if (declaration === undefined) return [`${exported.name}: not found`];
  const file = declaration.getSourceFile();
  const where = `${relative(root, file.fileName)}:${file.getLineAndCharacterOfPosition(declaration.getStart()).line + 1}: ${exported.name}`;
  const text = ts.displayPartsToString(symbol.getDocumentationComment(checker));
  const tags = symbol.getJsDocTags(checker).map((/** @type {any} */ tag) => tag.name);
  const body = symbol.declarations.map(functionIn).find((/** @type {any} */ found) => found?.body !== undefined);
  return [
    ...(saysMore(exported.name, text) ? [] : [`${where}: no docstring that says what it means`]),
    ...(body !== undefined && throwsDirectly(body) && !tags.includes("throws") ? [`${where}: throws, and its docstring has no @throws`] : []),
  ];
}

/** @param {readonly string[]} files @param {any} [host] */
function facesOf(files, host) {
  const program = ts.createProgram(files, { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.NodeNext, moduleResolution: ts.ModuleResolutionKind.NodeNext, strict: true, noEmit: true, skipLibCheck: true, types: [] }, host);
  const checker = program.getTypeChecker();
  const exported = files.flatMap((file) => {
    const module = checker.getSymbolAtLocation(program.getSourceFile(file));
    return module === undefined ? [] : checker.getExportsOfModule(module);
  });
  return { count: exported.length, faults: [...new Set(exported.flatMap((symbol) => faultsOf(checker, symbol)))] };
}

const control = `
/** Length of the gap. */ export const lengthOfGap = 1;
/** Gap under the edge in mm, positive when light shows. */ export const gapMm = 1;
/** Turns a written gap into mm, as the bench writes it. */ export function read(text: string): number { if (text === "") throw new RangeError("empty"); return 1; }
/** Turns a written gap into mm, as the bench writes it.
 * @throws {RangeError} when empty
 */ export const readToo = (text: string): number => { if (text === "") throw new RangeError("empty"); return 1; };
/** Turns a written gap into mm, or says nothing at all. */ export function tried(): number { try { throw new RangeError("x"); } catch { return 1; } }
export interface Bare { readonly gapMm: number }
`;

/** @returns {readonly string[]} */
function controlFaults() {
  const name = "control.ts";
  const host = ts.createCompilerHost({});
  const { getSourceFile, fileExists } = host;
  host.getSourceFile = (/** @type {string} */ file, /** @type {any} */ ...rest) => (file === name ? ts.createSourceFile(file, control, ts.ScriptTarget.ES2022, true) : getSourceFile.call(host, file, ...rest));
  host.fileExists = (/** @type {string} */ file) => file === name || fileExists.call(host, file);
  return facesOf([name], host).faults.map((fault) => fault.replace(/^.*?: (\w+): .*?(docstring that|@throws)?.*$/, "$1")).sort();
}

/** @returns {Promise<import("../gate.mjs").Outcome>} */
export async function check() {
  const { count, faults } = facesOf(entries);
  const found = controlFaults().join(" ");
  const blind = found === "Bare lengthOfGap read" ? [] : [`the check of docstrings finds "${found}" in its control`];
  const none = count === 0 ? ["nothing is exported"] : [];
  return { passed: Math.max(0, count - faults.length) + 1 - blind.length, failures: [...faults, ...blind, ...none] };
}
