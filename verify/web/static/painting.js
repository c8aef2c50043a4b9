// Setting layers on the board: what is set, with what, and a stroke while it is drawn.

import { MOVES, nameOf } from "./cells.js";
import { key, make, pictureOf, shown } from "./dom.js";
import { layerGivens } from "./layer_givens.js";
import { placeBeside, strokeOver } from "./strokes.js";

const LINES = [["+", "on", "on the line"], ["-", "off", "not on the line"]];
const REGIONS = [["=", "together", "one region"], ["|", "apart", "two regions"]];
const OPEN = [".", null, "open"];
const SVG = "http://www.w3.org/2000/svg";

/** What can be set in a layer: key, value and words. */
function brushes({ kind, values }) {
  if (kind === "shading") return [...values.map(({ letter, value }) => [letter, value, value]), OPEN];
  return [...(kind === "regions" ? REGIONS : LINES), OPEN];
}

export class Painting {
  /**
   * `text()` is the puzzle as it is now, `change(number, changes)` sets givens of a layer, which count
   * from 1: a map of places to values, null for none.
   */
  constructor(board, { text, change }) {
    Object.assign(this, { board, text, change, outline: null, number: 0, value: null, resting: false });
    this.place = document.getElementById("painting");
    this.what = document.getElementById("paint-what");
    this.withWhat = document.getElementById("paint-with");
    this.heard = document.getElementById("painted");
    this.what.addEventListener("change", () => this.#turnTo(Number(this.what.value)));
  }

  /** Show what can be set in a puzzle. */
  show(outline) {
    const offered = (one) => JSON.stringify([Object.keys(one?.symbols ?? {}).length > 0,
      one?.layers?.map(({ name, kind, values }) => [name, kind, values])]);
    const known = offered(outline) === offered(this.outline);
    this.outline = outline;
    this.#clear();
    if (known) return;
    const digits = Object.keys(outline.symbols).length > 0;
    this.place.hidden = !outline.layers.length;
    this.what.replaceChildren(...(digits ? [make("option", { value: 0 }, "digits")] : []),
      ...outline.layers.map(({ name }, at) => make("option", { value: at + 1 }, shown(name))));
    this.what.parentElement.hidden = this.what.options.length < 2;
    this.#turnTo(digits || !outline.layers.length ? 0 : 1);
  }

  /** Leave the board to those who choose cells for a rule, for as long as they do. */
  rest(on) {
    this.resting = on;
    this.#handOver();
  }

  /** Go on to the next that can be set; whether there is another. */
  next() {
    const { options, selectedIndex } = this.what;
    if (this.place.hidden || options.length < 2) return false;
    this.#turnTo(Number(options[(selectedIndex + 1) % options.length].value));
    this.heard.textContent = `Now setting: ${this.what.selectedOptions[0].textContent}`;
    return true;
  }

  #turnTo(number) {
    this.number = number;
    this.what.value = number;
    this.layer = this.outline.layers[number - 1] ?? null;
    if (this.layer) this.#take(brushes(this.layer)[0][1]);
    else this.withWhat.replaceChildren();
    document.body.classList.toggle("sets-layers", this.layer !== null);
    this.#handOver();
  }

  #handOver() {
    this.board.drawnBy = this.layer && !this.resting ? this : null;
  }

  #take(value) {
    this.value = value;
    this.withWhat.replaceChildren(...brushes(this.layer).map(([sign, one, said]) => make("button", {
      type: "button", "aria-pressed": String(one === value), "aria-keyshortcuts": sign, click: () => {
        this.#take(one);
        this.withWhat.querySelector("[aria-pressed=true]").focus();
      },
    }, this.#sample(one), said, key(sign))));
  }

  #sample(value) {
    const drawn = this.layer.values.find((one) => one.value === value)?.sample;
    if (!drawn) return null;
    const sample = pictureOf(drawn);
    sample.querySelector("title")?.remove();
    for (const name of ["role", "width", "height"]) sample.removeAttribute(name);
    sample.setAttribute("aria-hidden", "true");
    sample.setAttribute("class", "tint");
    return sample;
  }

  // A stroke: the board tells where it begins, goes on and ends.

  begin(point) {
    this.stroke = strokeOver(this.layer.kind, (name) => this.board.cells.has(name));
    this.givens = layerGivens(this.text(), this.outline, this.number) ?? new Map();
    this.changes = new Map();
    this.#pass(this.stroke.begin(point));
  }

  go(point) {
    if (this.stroke) this.#pass(this.stroke.go(point));
  }

  end(done) {
    if (!this.stroke) return;
    if (done) this.#pass(this.stroke.end());
    this.stroke = null;
    if (done) this.#commit();
    else this.#clear();
  }

  /** A place is passed: the first one decides what the stroke sets, which is nothing if it is set so already. */
  #pass(place) {
    if (place === null || this.changes.has(place)) return;
    const [first] = this.changes.values();
    const value = this.changes.size ? first : this.givens.get(place) === this.value ? null : this.value;
    this.changes.set(place, value);
    this.#trace(place, value);
  }

  #commit() {
    const changes = new Map([...this.changes].filter(([place, value]) => (this.givens.get(place) ?? null) !== value));
    if (!changes.size) {
      this.#clear();
      return;
    }
    this.change(this.number, changes);
    const said = [...changes].map(([place, value]) => `${place} ${value ?? "open"}`);
    this.heard.textContent = `${this.layer.name} ${said.join(", ")}`;
  }

  /** A key on the board: "goes on" if the next cell becomes the active one, "done", or null if the key has no use here. */
  key(name, shift, cell) {
    const move = MOVES[name];
    if (move) return shift ? this.#keyTo(cell, move) : null;
    const kind = this.layer.kind;
    if (name === "Delete" || name === "Backspace") {
      this.#set([...this.#now().keys()].filter((place) => place.split(" ").includes(nameOf(cell))), () => null);
      return "done";
    }
    if (name === " " && kind === "shading") {
      const place = nameOf(cell);
      this.#set([place], (now) => (now.get(place) === this.value ? null : this.value));
      return "done";
    }
    const brush = brushes(this.layer).find(([sign]) => sign.toLowerCase() === name.toLowerCase());
    if (!brush) return null;
    this.#take(brush[1]);
    if (kind === "shading") this.#set([nameOf(cell)], () => brush[1]);
    return "done";
  }

  #keyTo(cell, move) {
    const has = (name) => this.board.cells.has(name);
    const beyond = nameOf([cell[0] + move[0], cell[1] + move[1]]);
    if (this.layer.kind === "shading") {
      this.#set([nameOf(cell), beyond].filter(has), () => this.value);
      return "goes on";
    }
    const place = placeBeside(this.layer.kind, has, cell, move);
    if (place) this.#set([place], (now) => (now.get(place) === this.value ? null : this.value));
    return this.layer.kind === "border-loop" ? "done" : "goes on";
  }

  #now() {
    return layerGivens(this.text(), this.outline, this.number) ?? new Map();
  }

  #set(places, valueIn) {
    this.givens = this.#now();
    this.changes = new Map(places.map((place) => [place, valueIn(this.givens)]));
    this.#commit();
  }

  // The stroke as it is drawn, until the picture shows it.

  #trace(place, value) {
    if (!this.traced) {
      this.traced = document.createElementNS(SVG, "svg");
      this.traced.setAttribute("class", value === null ? "traced open" : "traced");
      this.traced.setAttribute("aria-hidden", "true");
      this.board.layOver(this.traced);
    }
    const [one, other] = place.split(" ");
    const [row, column] = one.match(/\d+/g).map(Number);
    this.traced.append(other ? this.#line([row, column], other) : element("rect", { x: column - 1, y: row - 1, width: 1, height: 1 }));
  }

  #line([row, column], other) {
    const beside = other.match(/\d+/g)?.map(Number);
    if (beside && (this.layer.kind === "loop" || this.layer.kind === "path")) {
      return element("line", { x1: column - 0.5, y1: row - 0.5, x2: beside[1] - 0.5, y2: beside[0] - 0.5 });
    }
    const side = !beside ? other : beside[0] > row ? "bottom" : "right";
    const [x1, y1, x2, y2] = { top: [0, 0, 1, 0], bottom: [0, 1, 1, 1], left: [0, 0, 0, 1], right: [1, 0, 1, 1] }[side];
    return element("line", { x1: column - 1 + x1, y1: row - 1 + y1, x2: column - 1 + x2, y2: row - 1 + y2 });
  }

  #clear() {
    this.traced?.remove();
    this.traced = null;
  }
}

function element(tag, attributes) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}
