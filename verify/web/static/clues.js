// The list of clues, each with its switch; rules also have a sample of their drawing.

import { make, pictureOf } from "./dom.js";

/** The switch of a premise, by its name in results: `["givens", "r1c1"]`, or null. */
export function switchOf(name, outline) {
  const cell = /^r\d+c\d+(?==)/.exec(name)?.[0];
  if (outline.givens.some((given) => given.cell === cell)) return ["givens", cell];
  const layered = outline.layers.flatMap((layer) => layer.givens).find((given) => given.called === name);
  if (layered) return ["givens", layered.of];
  return outline.rules.some((rule) => rule.name === name) ? ["rules", name] : null;
}

/** The words for a clue, by its name in results. */
export function called(name, outline) {
  return outline.rules.find((rule) => rule.name === name)?.called ?? name;
}

/** The givens of cells and of layers, as the list shows them. */
function givensOf(outline) {
  const digits = Object.fromEntries(Object.entries(outline.symbols).map(([digit, symbol]) => [symbol, digit]));
  return [
    ...outline.givens.map(({ cell, symbol }) => ({ of: cell, where: cell, said: symbol, label: `${cell} is ${symbol}`,
      cells: [cell], called: `${cell}=${digits[symbol]}` })),
    ...outline.layers.flatMap(({ name, kind, givens }) => givens.map(({ of, place, value, cells, called }) => ({
      of, cells, called, label: called, where: `${outline.layers.length > 1 ? `${name} ` : ""}${place}`,
      said: WORDS[kind]?.[value] ?? value }))),
  ];
}

const ON = { on: "on the line", off: "not on the line" };
const WORDS = { loop: ON, path: ON, "border-loop": ON };

const GHOST = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8.8 4.8"><path d="M0.8 2.4H8"
  fill="none" stroke="currentColor" stroke-width="0.3" stroke-dasharray="0.9 0.9"/></svg>`;

/** The server's sample of a rule, a ghost if it is off; none if it is not drawn. */
function sampleOf(rule, off) {
  if (!rule.sample) return null;
  const drawing = pictureOf(off ? GHOST : rule.sample);
  drawing.querySelector("title")?.remove();
  for (const name of ["role", "width", "height"]) drawing.removeAttribute(name);
  drawing.setAttribute("class", rule.pieces ? "sample pieces" : "sample");
  drawing.setAttribute("aria-hidden", "true");
  return drawing;
}

export class Clues {
  /**
   * `toggle("givens" | "rules", name)` switches one; `remove(number)` takes a rule out of the file,
   * `find(number)` shows its place there, `change(number)` opens it in its form.
   */
  constructor(place, { toggle, remove, find, change, point }) {
    Object.assign(this, { place, toggle, remove, find, change, point });
    this.scrolled = 0; // how far the list of rules is
  }

  /** Show the clues of an outline. `pressed` are the names, in results, of those that cannot all hold. */
  show(outline, state, pressed = []) {
    const focused = document.activeElement?.dataset?.clue;
    const givens = givensOf(outline);
    this.place.replaceChildren(
      this.#heading("Givens", givens.length, state.givens, "givens"),
      ...(givens.length ? [this.#givens(givens, state, pressed)] : []),
      ...(outline.rules.length ? [
        this.#heading("Rules", outline.rules.length, state.rules, "rules"),
        this.#rules(outline, state, pressed),
      ] : []),
    );
    if (this.scrolled) this.place.querySelector(".rules")?.scrollTo(0, this.scrolled);
    if (focused) this.place.querySelector(`[data-clue="${CSS.escape(focused)}"]`)?.focus();
  }

  /** Mark the rules that lie on a cell. */
  touching(cell, outline) {
    this.place.querySelectorAll(".rules li").forEach((item, at) => {
      item.classList.toggle("touching", outline.rules[at]?.cells.includes(cell) ?? false);
    });
  }

  #heading(name, count, off, key) {
    const all = off.length
      ? make("button", { type: "button", class: "small", click: () => this.toggle(key, null) }, "All on")
      : null;
    const drawn = key === "rules" ? ", drawn thin and grey" : "";
    const counted = off.length ? `${count}, ${off.length} off${drawn}` : String(count);
    return make("h3", {}, `${name} (${counted}) `, all);
  }

  #givens(clues, state, pressed) {
    const list = make("ul", { class: "givens" });
    for (const { of, where, said, label, cells, called } of clues) {
      const off = state.givens.includes(of);
      const button = make("button", {
        type: "button", "aria-pressed": String(!off), "data-clue": of, class: pressed.includes(called) ? "ringed" : "",
        "aria-label": `${label}: ${off ? "off" : "on"}`,
        click: () => this.toggle("givens", of), ...this.#pointing(cells),
      }, make("span", { class: "where" }, where), ` ${said}`);
      list.append(make("li", {}, button));
    }
    return list;
  }

  #rules(outline, state, pressed) {
    const list = make("ul", { class: "rules" });
    const sentences = new Set();
    outline.rules.forEach((rule, place) => {
      const said = sentences.has(rule.text) ? null : make("p", {}, rule.text);
      sentences.add(rule.text);
      const off = state.rules.includes(rule.name);
      const box = make("input", {
        type: "checkbox", "data-clue": rule.name, change: () => this.toggle("rules", rule.name),
      });
      box.checked = !off && !rule.optional;
      box.disabled = rule.optional;
      const note = rule.optional ? " (optional in the file)" : "";
      list.append(make("li", {
        class: [off || rule.optional ? "off" : "", pressed.includes(rule.name) ? "ringed" : ""].join(" "),
        ...this.#pointing(rule.cells),
      },
      make("label", {}, box, sampleOf(rule, off), make("span", {}, rule.called.replace(/^the /, ""), rule.fields && !rule.signed ? make("b", {}, ` ${rule.fields}`) : null, note)),
      make("span", { class: "tools" },
        ...[["Change", this.change], ["Find", this.find], ["Remove", this.remove]].map(([word, act]) => {
          const label = word === "Find" ? `Find ${rule.name} in the file` : `${word} ${rule.name}`;
          return make("button", { type: "button", class: "quiet", "aria-label": label, "data-clue": label,
            click: () => act(place + 1) }, word);
        })),
      said));
    });
    return make("div", { class: "listed" }, list, this.#below(list));
  }

  /** The number of rules below the visible part of the list. */
  #below(list) {
    const said = make("p", { class: "hint below", "aria-hidden": "true" });
    const count = () => {
      const end = list.getBoundingClientRect().bottom;
      const hidden = [...list.children].filter((item) => item.getBoundingClientRect().top > end - 12).length;
      said.textContent = hidden ? `${hidden} more below: scroll the list` : "";
    };
    list.addEventListener("scroll", () => {
      this.scrolled = list.scrollTop;
      count();
    });
    new ResizeObserver(count).observe(list);
    return said;
  }

  #pointing(cells) {
    const [on, out] = [() => this.point(cells), () => this.point([])];
    return { mouseenter: on, mouseleave: out, focusin: on, focusout: out };
  }
}
