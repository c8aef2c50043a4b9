// Changes to the text of a puzzle that leave everything else as it was written.

const RULING = " \t|+=\r\n";

/** A puzzle file without a given. */
export function blankFile(size) {
  return `size = ${size}\ngivens = """\n${`${".".repeat(size)}\n`.repeat(size)}"""\n`;
}

/** Where the symbols of the cells stand in a part of a text, rows in order; null if that is not clear. */
export function symbolPlaces(text, outline, [from, to]) {
  const wanted = outline.rows * outline.columns;
  for (const ruling of [`${RULING}-`, RULING]) {
    const places = [];
    for (let at = from; at < to; at++) {
      if (text[at] === "#") {
        while (at < to && text[at] !== "\n") at++;
      } else if (!ruling.includes(text[at])) places.push(at);
    }
    if (places.length === wanted) return places;
  }
  return null;
}

/** The span of the givens in a puzzle file, without their quotes. */
function givensRange(text) {
  const head = headOf(text);
  const found = /^[ \t]*givens[ \t]*=[ \t]*("""|'''|"|')/m.exec(head);
  if (!found) return null;
  const from = found.index + found[0].length;
  const to = text.indexOf(found[1], from);
  return to < 0 ? null : [from, to];
}

/** The part of a puzzle file before its first table, where its own fields are. */
function headOf(text) {
  const table = /^[ \t]*\[/m.exec(text);
  return table ? text.slice(0, table.index) : text;
}

function rowsOf(outline) {
  const symbols = Array.from({ length: outline.rows }, () => Array(outline.columns).fill("_"));
  for (const [row, column] of outline.cells) symbols[row - 1][column - 1] = ".";
  for (const { cell, symbol } of outline.givens) {
    const [, row, column] = /r(\d+)c(\d+)/.exec(cell);
    symbols[row - 1][column - 1] = symbol;
  }
  return symbols.map((row) => row.join(""));
}

/** The text with another symbol in a cell ("." for none). */
export function withGiven(text, outline, [row, column], symbol) {
  const places = symbolPlaces(text, outline, outline.document ? givensRange(text) ?? [0, 0] : [0, text.length]);
  const number = (row - 1) * outline.columns + column - 1;
  if (places) {
    const at = places[number];
    return text.slice(0, at) + symbol + text.slice(at + 1);
  }
  const rows = rowsOf(outline);
  rows[row - 1] = rows[row - 1].slice(0, column - 1) + symbol + rows[row - 1].slice(column);
  const written = `\n${rows.join("\n")}\n`;
  const range = givensRange(text);
  if (range && text.startsWith('"""', range[1])) {
    return text.slice(0, range[0]) + written + text.slice(range[1]);
  }
  if (range) return text;
  const head = headOf(text).trimEnd();
  const rest = text.slice(head.length);
  return `${head}${head ? "\n" : ""}givens = """${written}"""${rest.startsWith("\n") ? "" : "\n"}${rest}`;
}

/** The text with a rule, given as TOML, at its end. A puzzle line becomes a puzzle file first. */
function withRule(text, outline, toml) {
  const file = outline.document
    ? text
    : `size = ${outline.rows}\ngivens = """\n${rowsOf(outline).join("\n")}\n"""\n`;
  return `${file.trimEnd()}\n\n${toml}`;
}

/** The first line of a rule or layer, by its number from 1, and the first after it; null if it has no table. */
function linesOf(lines, number, what = "rule") {
  const head = new RegExp(`^\\s*\\[\\[\\s*${what}\\s*\\]\\]`);
  const heads = lines.flatMap((line, at) => (head.test(line) ? [at] : []));
  const from = heads[number - 1];
  if (from === undefined) return null;
  let to = from + 1;
  while (to < lines.length && !/^\s*\[{1,2}(?!\[|\s*rule\s*\.)/.test(lines[to])) to++;
  return [from, to];
}

/** The span of a rule or a layer; null if it is not in a table of its own. */
export function tableRange(text, number, what = "rule") {
  const lines = text.split("\n");
  const found = linesOf(lines, number, what);
  if (!found) return null;
  const start = lines.slice(0, found[0]).join("\n").length + (found[0] ? 1 : 0);
  return [start, start + lines.slice(...found).join("\n").trimEnd().length];
}

/**
 * The text with other TOML for its rule of this number, from 1; null if it is not in a table of its
 * own. Lines of comment and blank lines stay.
 */
function withChangedRule(text, number, toml) {
  const lines = text.split("\n");
  const found = linesOf(lines, number);
  if (!found) return null;
  const block = lines.slice(...found);
  const end = block.findLastIndex((line) => line.trim() && !line.trim().startsWith("#")) + 1;
  const remarks = block.slice(0, end).filter((line) => line.trim().startsWith("#"));
  const [head, ...fields] = toml.trimEnd().split("\n");
  return [...lines.slice(0, found[0]), head, ...remarks, ...fields, ...block.slice(end),
    ...lines.slice(found[1])].join("\n");
}

/** The text with other TOML for its rule of this number, or at its end if that is null; null if it cannot be changed. */
export function withRuleWritten(text, outline, number, toml) {
  return number === null ? withRule(text, outline, toml) : withChangedRule(text, number, toml);
}

/** The text without its rule of this number, from 1; null if it does not have a table of its own. */
export function withoutRule(text, number) {
  const lines = text.split("\n");
  const found = linesOf(lines, number);
  if (!found) return null;
  const before = lines.slice(0, found[0]);
  while (before.length && !before.at(-1).trim()) before.pop();
  const after = lines.slice(found[1]);
  return [...before, ...(after.length ? ["", ...after] : [""])].join("\n");
}
