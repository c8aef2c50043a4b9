// The givens of layers in the text of a puzzle file: what they are, and the text with others. A given has a
// place and a value: "r1c1" is "deep"; "r1c1 r1c2", or "r1c1 top", is "on" or "off", or "together" or "apart".

import { symbolPlaces, tableRange } from "./file.js";

const SIGNS = { loop: "-", path: "-", "border-loop": "|" };

/** Two cells, or a cell and a side, as one place: the earlier cell first. */
export function pairOf(one, other) {
  const numbers = (name) => name.match(/\d+/g)?.map(Number) ?? [Infinity];
  const [[row, column], [below, right]] = [numbers(one), numbers(other)];
  return (below ?? Infinity) < row || (below === row && right < column) ? `${other} ${one}` : `${one} ${other}`;
}

/** A given of links, sides or regions as the file has it. */
function written({ kind }, place, value) {
  const [one, other] = place.split(" ");
  if (kind === "regions") return `${one}${value === "together" ? "=" : "|"}${other}`;
  return `${value === "off" ? "not " : ""}${one}${SIGNS[kind]}${other}`;
}

/** The place and value of a given as the file has it; null if there is none. */
function readGiven({ kind }, text) {
  const found = /^\s*(not\s)?\s*([rR]\d+[cC]\d+)\s*([-=|])\s*([rR]\d+[cC]\d+|top|left|right|bottom)\s*$/.exec(text);
  if (!found) return null;
  const [, not, one, sign, other] = found;
  const value = kind === "regions" ? (sign === "=" ? "together" : "apart") : not ? "off" : "on";
  const name = (cell) => cell.toLowerCase().replaceAll(/([rc])0+(?=\d)/g, "$1");
  return [pairOf(name(one), name(other)), value];
}

/** The span of the givens of a layer, with their quotes or brackets; null if there are none. */
function givensOf(text, [start, end]) {
  const table = text.slice(start, end);
  const found = /^[ \t]*givens[ \t]*=[ \t]*("""|'''|"|'|\[)/m.exec(table);
  if (!found) return null;
  const from = start + found.index + found[0].length - found[1].length;
  if (found[1] !== "[") {
    const to = text.indexOf(found[1], from + found[1].length);
    return to < 0 ? null : [from, to + found[1].length, found[1].length];
  }
  const list = listIn(text, from);
  return list && [from, list.end, 1];
}

/** The strings of a list that begins at a bracket, and where it ends. */
function listIn(text, from) {
  const items = [];
  const token = /"([^"\n]*)"|'([^'\n]*)'|#.*|\]/g;
  token.lastIndex = from + 1;
  for (let found = token.exec(text); found; found = token.exec(text)) {
    if (found[0] === "]") return { items, end: token.lastIndex };
    if (found[0][0] !== "#") items.push({ at: found.index, end: token.lastIndex, said: found[1] ?? found[2] });
  }
  return null;
}

/** The table of a layer of the board; null if the text has none, or another layer in its place. */
function tableOf(text, layer, number) {
  const range = layer ? tableRange(text, number, "layer") : null;
  // The board may show the puzzle as it was before a fault or a change in the text.
  const name = range && /^[ \t]*name[ \t]*=[ \t]*["']([^"'\n]*)/m.exec(text.slice(...range))?.[1];
  return name === layer?.name ? range : null;
}

/** The givens of a layer, by their places. `number` counts the layers from 1; null if it has no table. */
export function layerGivens(text, outline, number) {
  const layer = outline.layers[number - 1];
  const range = tableOf(text, layer, number);
  if (!range) return null;
  const place = givensOf(text, range);
  if (!place) return new Map();
  if (layer.kind !== "shading") {
    const known = listIn(text, place[0]).items.map(({ said }) => readGiven(layer, said));
    return new Map(known.filter(Boolean));
  }
  const symbols = symbolPlaces(text, outline, [place[0] + place[2], place[1] - place[2]]);
  const values = new Map(layer.values.map(({ letter, value }) => [letter, value]));
  return new Map(outline.cells.flatMap(([row, column]) => {
    const value = symbols && values.get(text[symbols[(row - 1) * outline.columns + column - 1]]);
    return value === undefined || value === null ? [] : [[`r${row}c${column}`, value]];
  }));
}

/** The text with other givens of a layer: a map of places to values, null for none. Null if it has no table. */
export function withLayerGivens(text, outline, number, changes) {
  const layer = outline.layers[number - 1];
  let changed = text;
  for (const [place, value] of changes) {
    const range = tableOf(changed, layer, number);
    if (!range) return null;
    changed = layer.kind === "shading"
      ? withShade(changed, outline, number, range, place, value)
      : withListed(changed, layer, range, place, value);
  }
  return changed;
}

function withShade(text, outline, number, range, place, value) {
  const letters = new Map(outline.layers[number - 1].values.map((one) => [one.value, one.letter]));
  const [row, column] = place.match(/\d+/g).map(Number);
  const found = givensOf(text, range);
  const symbols = found && symbolPlaces(text, outline, [found[0] + found[2], found[1] - found[2]]);
  if (symbols) {
    const at = symbols[(row - 1) * outline.columns + column - 1];
    return `${text.slice(0, at)}${letters.get(value) ?? "."}${text.slice(at + 1)}`;
  }
  if (value === null) return text;
  const rows = Array.from({ length: outline.rows }, () => Array(outline.columns).fill("_"));
  for (const [down, right] of outline.cells) rows[down - 1][right - 1] = ".";
  rows[row - 1][column - 1] = letters.get(value);
  const drawn = `"""\n${rows.map((one) => one.join("")).join("\n")}\n"""`;
  if (found) return text.slice(0, found[0]) + drawn + text.slice(found[1]);
  return `${text.slice(0, range[1])}\ngivens = ${drawn}${text.slice(range[1])}`;
}

const LONG = 90; // letters of a line of givens

function withListed(text, layer, range, place, value) {
  const found = givensOf(text, range);
  const said = value === null ? null : `"${written(layer, place, value)}"`;
  if (!found) return said ? `${text.slice(0, range[1])}\ngivens = [${said}]${text.slice(range[1])}` : text;
  const { items } = listIn(text, found[0]);
  const own = items.filter((item) => readGiven(layer, item.said)?.[0] === place);
  if (own.length > 1) return withListed(withoutItem(text, own.at(-1)), layer, range, place, value);
  if (own.length && said) return text.slice(0, own[0].at) + said + text.slice(own[0].end);
  if (own.length) return withoutItem(text, own[0]);
  if (!said) return text;
  const end = items.at(-1)?.end ?? found[0] + 1;
  const line = text.slice(text.lastIndexOf("\n", end) + 1, end);
  const gap = !items.length ? "" : line.length + said.length > LONG ? ",\n  " : ", ";
  return text.slice(0, end) + gap + said + text.slice(end);
}

/** The text without an item of a list, and without the line that it had to itself. */
function withoutItem(text, { at, end }) {
  const after = /^[ \t]*,[ \t]*/.exec(text.slice(end))?.[0];
  const before = /,?[ \t]*$/.exec(text.slice(0, at))[0];
  const from = after === undefined ? at - before.length : at;
  const to = end + (after ?? "").length;
  const line = text.lastIndexOf("\n", from - 1) + 1;
  const bare = !text.slice(line, from).trim() && text[to] === "\n";
  return bare ? text.slice(0, line) + text.slice(to + 1) : text.slice(0, from) + text.slice(to);
}

/** The text with givens of layers, each with the name of its layer; null if one does not have its own table. */
export function withGivensOfLayers(text, outline, givens) {
  return givens.reduce((now, { layer, place, value }) => {
    const number = outline.layers.findIndex(({ name }) => name === layer) + 1;
    return now && withLayerGivens(now, outline, number, [[place, value]]);
  }, text);
}
