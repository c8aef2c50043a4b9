// The digits of the puzzle in one row, for people without a keyboard.

import { make } from "./dom.js";

export class Digits {
  /** `write(symbol)` is called with a digit, or "." for none. */
  constructor(place, write) {
    Object.assign(this, { place, write, shown: "" });
  }

  /** Show the symbols of a puzzle, by their digits. */
  show(symbols) {
    const all = Object.values(symbols);
    if (all.join(" ") === this.shown) return;
    this.shown = all.join(" ");
    const button = (symbol, said, label) => make("button", { type: "button", "aria-label": label,
      click: () => this.write(symbol) }, said);
    this.place.replaceChildren(...all.map((one) => button(one, one, `Write ${one}`)), button(".", "⌫", "Clear the cell"));
  }
}
