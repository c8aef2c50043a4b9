// The list of clues, each with its switch.

import { make } from "./dom.js";

export class Clues {
  /**
   * `toggle("givens" | "rules", name)` switches one; `remove(number)` takes a rule out of the file,
   * `find(number)` shows where it stands there.
   */
  constructor(place, { toggle, remove, find, point }) {
    Object.assign(this, { place, toggle, remove, find, point });
  }

  /** Show the clues of an outline. `pressed` are what results call those that cannot all hold. */
  show(outline, state, pressed = []) {
    const focused = document.activeElement?.dataset?.clue;
    this.place.replaceChildren(
      this.#heading("Givens", outline.givens.length, state.givens, "givens"),
      this.#givens(outline, state, pressed),
      ...(outline.rules.length ? [
        this.#heading("Rules", outline.rules.length, state.rules, "rules"),
        this.#rules(outline, state, pressed),
      ] : []),
    );
    if (focused) this.place.querySelector(`[data-clue="${CSS.escape(focused)}"]`)?.focus();
  }

  #heading(name, count, off, key) {
    const all = off.length
      ? make("button", { type: "button", class: "small", click: () => this.toggle(key, null) }, "All on")
      : null;
    const counted = off.length ? `${count}, ${off.length} off` : String(count);
    return make("h3", {}, `${name} (${counted}) `, all);
  }

  #givens(outline, state, pressed) {
    const list = make("ul", { class: "givens" });
    for (const { cell, symbol } of outline.givens) {
      const off = state.givens.includes(cell);
      const ringed = pressed.some((name) => name.startsWith(`${cell}=`));
      const button = make("button", {
        type: "button", "aria-pressed": String(!off), "data-clue": cell, class: ringed ? "ringed" : "",
        "aria-label": `${cell} is ${symbol}: ${off ? "off" : "on"}`,
        click: () => this.toggle("givens", cell), ...this.#pointing([cell]),
      }, make("span", { class: "where" }, cell), ` ${symbol}`);
      list.append(make("li", {}, button));
    }
    return list;
  }

  #rules(outline, state, pressed) {
    const list = make("ul", { class: "rules" });
    outline.rules.forEach((rule, place) => {
      const said = outline.rules[place - 1]?.text === rule.text ? null : make("p", {}, rule.text);
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
      make("label", {}, box, make("span", {}, rule.name, rule.fields ? make("b", {}, ` ${rule.fields}`) : null, note)),
      make("button", {
        type: "button", class: "small", "aria-label": `Find ${rule.name} in the file`,
        click: () => this.find(place + 1),
      }, "Find"),
      make("button", {
        type: "button", class: "small", "aria-label": `Remove ${rule.name}`, click: () => this.remove(place + 1),
      }, "Remove"),
      said));
    });
    return list;
  }

  #pointing(cells) {
    const [on, out] = [() => this.point(cells), () => this.point([])];
    return { mouseenter: on, mouseleave: out, focusin: on, focusout: out };
  }
}
