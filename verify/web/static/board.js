// The cells of the puzzle: a grid that keyboard and screen reader walk through, laid over the picture
// that the server drew, whose frame says where the cells are.

import { MOVES, between, cellOf, nameOf } from "./cells.js";
import { make, pictureOf } from "./dom.js";

const NEAR = 0.3; // of a cell: as near to a border as this, the border is meant
const TAKEN = 0.38; // of a cell: a drag takes those whose middle it passes as near as this

/** What rules lie on each cell, in words such as "cage sum 16". */
function rulesByCell({ rules }) {
  const found = new Map();
  for (const { kind, fields, cells } of rules) {
    for (const name of cells) found.set(name, [...found.get(name) ?? [], [kind, fields].filter(Boolean).join(" ")]);
  }
  return found;
}

export class Board {
  /**
   * `put(cell, symbol)` asks for a given ("." for none), `refuse(key)` is told of a digit or letter that
   * this puzzle does not have, `toggle(name)` switches a given off or on;
   * `chosen(cells, begun)` tells which cells are chosen, in order, and whether anew; `arrived()` tells that
   * another cell is the active one; `pressed(key)` takes a letter that this puzzle does not have, or Escape, and
   * tells whether it had a meaning.
   */
  constructor(place, picture, { put, refuse, toggle, chosen, arrived, pressed }) {
    Object.assign(this, { place, picture, put, refuse, toggle, told: chosen, arrived, pressed });
    this.cells = new Map();
    this.active = [1, 1];
    this.path = [];
    this.between = "cells";
    this.pen = null; // what sets layers in place of choosing cells, while there is one
    this.spot = make("div", { class: "spot", hidden: true });
    this.outline = null;
    place.after(this.spot);
    place.addEventListener("keydown", (event) => this.#key(event));
    place.addEventListener("pointerdown", (event) => this.#down(event));
    place.addEventListener("pointermove", (event) => this.#move(event));
    for (const end of ["pointerup", "pointercancel"]) {
      place.addEventListener(end, () => {
        this.dragging = false;
        this.pen?.end(end === "pointerup");
      });
    }
    place.addEventListener("pointerleave", () => { this.spot.hidden = true; });
    place.addEventListener("focusin", (event) => this.#focused(event.target));
  }

  /** Show a puzzle: its outline, its picture, and the cells whose givens are off. */
  show(outline, svg, off) {
    const layout = JSON.stringify(outline.cells);
    this.outline = outline;
    this.#draw(svg);
    if (layout !== this.layout) {
      this.layout = layout;
      this.#build();
    }
    this.#place();
    const givens = new Map(outline.givens.map(({ cell, symbol }) => [cell, symbol]));
    const rules = rulesByCell(outline);
    const layered = outline.layers.flatMap((layer) => layer.givens);
    for (const [name, element] of this.cells) {
      const symbol = givens.get(name);
      const isOff = symbol !== undefined && off.includes(name);
      const [, row, column] = /r(\d+)c(\d+)/.exec(name);
      const given = symbol === undefined ? "empty" : `given ${symbol}${isOff ? ", switched off" : ""}`;
      const layers = layered.filter(({ cells }) => cells.includes(name)).map(({ called }) => called);
      const told = [`row ${row} column ${column}, ${given}`, ...layers, ...rules.get(name) ?? []];
      element.setAttribute("aria-label", told.join(", "));
      element.textContent = isOff ? symbol : "";
      element.classList.toggle("off", isOff);
    }
    this.givens = givens;
  }

  /** Write into the active cell. */
  write(symbol) {
    this.put(this.active, symbol);
  }

  /** Go to the active cell. */
  focus() {
    this.cells.get(nameOf(this.active))?.focus({ preventScroll: true });
  }

  /** Show another picture of the same puzzle. */
  redraw(svg) {
    this.#draw(svg);
    this.#place();
  }

  /** Mark the cells that something is about. */
  point(names) {
    for (const [name, element] of this.cells) element.classList.toggle("pointed", names.includes(name));
  }

  /** Whether dragging with a finger chooses cells, or moves the page as it usually does. */
  set choosing(on) {
    this.place.classList.toggle("choosing", on);
  }

  /** What pointing near the border of a cell chooses: "cells" (nothing else), "edge" or "corner". */
  set pointing(at) {
    this.between = at;
    this.spot.hidden = true;
  }

  /** Hand clicks, drags and keys to a pen that sets layers; null takes it away. */
  set drawnBy(pen) {
    // Nothing changes hands: what is chosen stays chosen.
    if (pen === (this.pen ?? null)) return;
    this.pen = pen;
    this.place.classList.toggle("painting", pen !== null);
    this.spot.hidden = true;
    this.choose([]);
  }

  /** Lay a drawing over the cells, its measures in cells from the top left corner of row 1 and column 1. */
  layOver(drawing) {
    const { x, y, size, width, height } = this.corner;
    drawing.setAttribute("viewBox", `${-x / size} ${-y / size} ${width / size} ${height / size}`);
    this.place.after(drawing);
  }

  /** Choose these cells as a person would, but without telling. */
  choose(names) {
    this.path = names.filter((name) => this.cells.has(name)).map(cellOf);
    if (this.path.length) this.active = this.path.at(-1);
    this.#mark();
  }

  get chosenNames() {
    return this.path.map(nameOf);
  }

  #draw(svg) {
    const drawing = pictureOf(svg);
    drawing.removeAttribute("width");
    drawing.removeAttribute("height");
    drawing.setAttribute("aria-hidden", "true");
    const { width, height } = drawing.viewBox.baseVal;
    this.picture.parentElement.style.setProperty("--aspect", width / height);
    this.picture.replaceChildren(drawing);
  }

  #build() {
    const rows = new Map();
    this.cells.clear();
    for (const cell of this.outline.cells) {
      const element = make("div", { role: "gridcell", tabindex: -1, "data-cell": nameOf(cell),
        "aria-rowindex": cell[0], "aria-colindex": cell[1] });
      this.cells.set(nameOf(cell), element);
      if (!rows.has(cell[0])) rows.set(cell[0], make("div", { role: "row", "aria-rowindex": cell[0] }));
      rows.get(cell[0]).append(element);
    }
    this.place.replaceChildren(...rows.values());
    const attributes = { role: "grid", "aria-label": "Cells of the puzzle", "aria-multiselectable": "true",
      "aria-describedby": "keys", "aria-rowcount": this.outline.rows, "aria-colcount": this.outline.columns };
    for (const [name, value] of Object.entries(attributes)) this.place.setAttribute(name, value);
    if (!this.cells.has(nameOf(this.active))) this.active = this.outline.cells[0];
    this.path = this.path.filter((cell) => this.cells.has(nameOf(cell)));
    this.#mark();
  }

  /** Place every cell where the walls of the picture show it. */
  #place() {
    const drawing = this.picture.firstElementChild;
    const walls = drawing.querySelector(".walls").getBBox();
    const { width, height } = drawing.viewBox.baseVal;
    const cells = this.outline.cells;
    const [top, left] = [Math.min(...cells.map(([row]) => row)), Math.min(...cells.map(([, c]) => c))];
    const across = Math.max(...cells.map(([, c]) => c)) - left + 1;
    const size = walls.width / across;
    this.corner = { x: walls.x - (left - 1) * size, y: walls.y - (top - 1) * size, size, width, height };
    const key = [walls.x, walls.y, size, width, height].join();
    if (key === this.placed && this.placedFor === this.layout) return;
    [this.placed, this.placedFor] = [key, this.layout];
    for (const [row, column] of cells) {
      const { style } = this.cells.get(nameOf([row, column]));
      style.left = `${(100 * (walls.x + (column - left) * size)) / width}%`;
      style.top = `${(100 * (walls.y + (row - top) * size)) / height}%`;
      style.width = `${(100 * size) / width}%`;
      style.height = `${(100 * size) / height}%`;
      style.fontSize = `${(38 * size) / width}cqw`;
    }
  }

  #mark() {
    const names = this.chosenNames;
    for (const [name, element] of this.cells) {
      const place = names.indexOf(name);
      element.setAttribute("aria-selected", String(place >= 0));
      element.tabIndex = name === nameOf(this.active) ? 0 : -1;
      if (place >= 0 && names.length > 1) element.dataset.order = place + 1;
      else delete element.dataset.order;
    }
  }

  #choose(path, begun) {
    this.path = this.pen ? [] : path;
    this.#mark();
    this.told(this.chosenNames, begun);
  }

  #activate(cell) {
    this.active = cell;
    this.#mark();
    this.cells.get(nameOf(cell)).focus();
    this.arrived();
  }

  #focused(element) {
    const cell = cellOf(element.dataset?.cell);
    if (!cell) return;
    this.active = cell;
    if (!this.path.length) this.#choose([this.active], true);
    else this.#mark();
    this.arrived();
  }

  #cellAt({ clientX, clientY }) {
    return cellOf(document.elementFromPoint(clientX, clientY)?.dataset?.cell);
  }

  /** The cell whose middle is near a point; null between middles, where a drag may stray. */
  #cellNear(point) {
    const cell = this.#cellAt(point);
    if (!cell) return null;
    const { left, top, width } = this.cells.get(nameOf(cell)).getBoundingClientRect();
    const away = Math.hypot(point.clientX - left - width / 2, point.clientY - top - width / 2);
    return away <= TAKEN * width ? cell : null;
  }

  /** Where a point lies, in rows and columns from the top left corner of row 1 and column 1. */
  #pointAt({ clientX, clientY }) {
    const { left, top, width } = this.cells.get(nameOf(this.active)).getBoundingClientRect();
    const [row, column] = this.active;
    return [(clientY - top) / width + row - 1, (clientX - left) / width + column - 1];
  }

  /** The points of a stretch of a drag, close enough together that no cell is jumped over. */
  #stretch(from, to) {
    const { width } = this.cells.get(nameOf(this.active)).getBoundingClientRect();
    const [x, y] = [to.clientX - from.clientX, to.clientY - from.clientY];
    const steps = Math.max(1, Math.ceil((8 * Math.hypot(x, y)) / width));
    return Array.from({ length: steps }, (_, at) => ({
      clientX: from.clientX + (x * (at + 1)) / steps, clientY: from.clientY + (y * (at + 1)) / steps }));
  }

  /** The cells that meet at the border under the pointer, and the place; null if no border is meant. */
  #borderAt(event) {
    const cell = this.between === "cells" ? null : this.#cellAt(event);
    if (!cell) return null;
    const box = this.cells.get(nameOf(cell)).getBoundingClientRect();
    const sides = [(event.clientY - box.top) / box.height, (event.clientX - box.left) / box.width]
      .map((share) => (share < NEAR ? -1 : share > 1 - NEAR ? 1 : 0));
    const [down, right] = sides;
    if (this.between === "corner" ? !(down && right) : !down === !right) return null;
    const rows = down ? [cell[0], cell[0] + down].sort((a, b) => a - b) : [cell[0]];
    const columns = right ? [cell[1], cell[1] + right].sort((a, b) => a - b) : [cell[1]];
    const cells = rows.flatMap((row) => columns.map((column) => [row, column]));
    if (!cells.every((one) => this.cells.has(nameOf(one)))) return null;
    return { cells, x: box.left + (box.width * (1 + right)) / 2, y: box.top + (box.height * (1 + down)) / 2 };
  }

  #down(event) {
    const cell = this.#cellAt(event);
    if (!cell || event.button) return;
    event.preventDefault();
    if (this.pen) {
      this.place.setPointerCapture(event.pointerId);
      this.dragging = true;
      this.last = event;
      this.#activate(cell);
      this.pen.begin(this.#pointAt(event));
      return;
    }
    const adds = event.shiftKey || event.ctrlKey || event.metaKey;
    const border = adds ? null : this.#borderAt(event);
    if (border) {
      // The same border again reverses the pair: some rules ask which cell comes first.
      const again = border.cells.map(nameOf).join() === this.chosenNames.join();
      this.#choose(again ? border.cells.reverse() : border.cells, true);
      this.#activate(cell);
      return;
    }
    this.dragging = event.pointerType === "mouse" || this.place.classList.contains("choosing");
    this.last = event;
    if (event.shiftKey) this.#extend(cell);
    else if (adds) this.#toggleChosen(cell);
    else this.#choose([cell], true);
    this.#activate(cell);
  }

  #move(event) {
    if (!this.dragging) {
      this.#hint(event);
      return;
    }
    for (const point of this.#stretch(this.last, event)) {
      if (this.pen) {
        this.pen.go(this.#pointAt(point));
        continue;
      }
      const cell = this.#cellNear(point);
      if (!cell || nameOf(cell) === nameOf(this.active)) continue;
      // Going back to the cell before removes the last one.
      if (nameOf(cell) === this.chosenNames.at(-2)) this.#choose(this.path.slice(0, -1), false);
      else this.#extend(cell);
      this.#activate(cell);
    }
    this.last = event;
  }

  /** Extend the choice to a cell, with the cells on the way if the run is straight. */
  #extend(cell) {
    const names = this.chosenNames;
    if (names.includes(nameOf(cell))) return;
    const way = this.path.length ? between(this.path.at(-1), cell) : [];
    const free = way.every((one) => this.cells.has(nameOf(one)) && !names.includes(nameOf(one)));
    this.#choose([...this.path, ...(free ? way : []), cell], !names.length);
  }

  /** Show the border that a click would choose. */
  #hint(event) {
    const border = this.#borderAt(event);
    this.spot.hidden = !border;
    if (!border) return;
    const around = this.place.getBoundingClientRect();
    this.spot.style.left = `${border.x - around.left}px`;
    this.spot.style.top = `${border.y - around.top}px`;
  }

  #toggleChosen(cell) {
    const names = this.chosenNames;
    const without = this.path.filter((_, place) => names[place] !== nameOf(cell));
    this.#choose(without.length < names.length ? without : [...this.path, cell], false);
  }

  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const move = MOVES[event.key];
    const drawn = this.pen?.key(event.key, event.shiftKey, this.active);
    if (drawn === "goes on") this.#step(move, false);
    else if (drawn) { /* done */ }
    else if (move) this.#step(move, event.shiftKey);
    else if (event.key === "Home" || event.key === "End") this.#toEnd(event.key === "Home");
    else if (event.key === " ") this.#toggleChosen(this.active);
    else if (event.key === "Escape") {
      if (!this.pressed(event.key)) this.#choose([this.active], true);
    }
    else if (event.key === "Enter") this.toggle(nameOf(this.active));
    else if (event.key === "Delete" || event.key === "Backspace") this.put(this.active, ".");
    else if (event.key.length === 1) {
      const symbol = this.symbolOf(event.key);
      if (symbol !== null) this.put(this.active, symbol);
      else if (this.pressed(event.key.toUpperCase())) { /* done */ }
      else if (/[\p{L}\p{N}]/u.test(event.key)) this.refuse(event.key);
      else return;
    } else return;
    event.preventDefault();
  }

  /** The symbol that a key writes into a cell, "." for none, or null. */
  symbolOf(key) {
    const letter = key.toUpperCase();
    if (Object.values(this.outline?.symbols ?? {}).includes(letter)) return letter;
    return key === "." || key === "0" ? "." : null;
  }

  #step([down, right], extend) {
    let [row, column] = this.active;
    do {
      row += down;
      column += right;
      if (row < 1 || column < 1 || row > this.outline.rows || column > this.outline.columns) return;
    } while (!this.cells.has(nameOf([row, column])));
    const cell = [row, column];
    if (extend) {
      const names = this.chosenNames;
      const from = names.length ? this.path : [this.active];
      if (names.at(-2) === nameOf(cell)) this.#choose(from.slice(0, -1), false);
      else if (!names.includes(nameOf(cell))) this.#choose([...from, cell], false);
    } else if (this.path.length <= 1) this.#choose([cell], true);
    this.#activate(cell);
  }

  #toEnd(first) {
    const row = this.outline.cells.filter(([at]) => at === this.active[0]);
    const cell = first ? row[0] : row.at(-1);
    this.#choose([cell], true);
    this.#activate(cell);
  }
}
