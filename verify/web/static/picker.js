// Kinds of rules, found by eye or by any word that the trade has for them.

import { make, pictureOf } from "./dom.js";
import { oneColumn } from "./examine.js";

const plain = (text) => text.toLowerCase().replaceAll(/[^\p{L}\p{N}]+/gu, " ").trim();

/** A small picture of a kind; an empty place for a kind that is not drawn. */
function sampleOf(svg) {
  if (!svg) return make("span", { class: "sample" });
  const drawing = pictureOf(svg);
  drawing.querySelector("title")?.remove();
  for (const name of ["role", "width", "height"]) drawing.removeAttribute(name);
  drawing.setAttribute("class", "sample");
  drawing.setAttribute("aria-hidden", "true");
  return drawing;
}

let made = 0;

export class Picker {
  /**
   * `kinds` are `{groups, told}`: kinds by group, and for each its sentence, its picture and other words for
   * it. `picked()` is called when another one is chosen. Without a kind to begin with, all are offered.
   */
  constructor(kinds, kind, picked) {
    Object.assign(this, { kinds, picked, value: kind ?? null });
    const id = `find-${(made += 1)}`;
    this.button = make("button", { type: "button", class: "picked", "aria-expanded": "false", click: () => this.#unfold(this.choices.hidden) });
    this.search = make("input", { id, type: "search", placeholder: "thermo, killer, XV, knight …", autocomplete: "off",
      input: () => this.#find(), focus: () => this.#reveal(), keydown: (event) => this.#key(event) });
    this.none = make("p", { class: "hint", role: "status" });
    this.lists = kinds.groups.map(({ name, kinds: inside }) => make("div", { class: "group" },
      make("h4", {}, name),
      make("ul", {}, ...inside.map((one) => make("li", {}, this.#choice(one, name))))));
    this.choices = make("div", { class: "choices", hidden: this.value !== null },
      make("div", { class: "field" }, make("label", { for: id }, "Find a rule, by any name"), this.search),
      make("div", { class: "offered", tabindex: -1 }, ...this.lists), this.none);
    this.element = make("div", { class: "picker" }, this.button, this.choices);
    this.#show();
  }

  #choice(kind, group) {
    const { sentence, picture, words } = this.kinds.told[kind];
    return make("button", { type: "button", "data-kind": kind, "data-words": plain([kind, ...words, group, sentence].join(" ")),
      click: () => this.#take(kind) },
    sampleOf(picture), make("span", {}, make("strong", {}, kind.replaceAll("-", " ")), make("span", { class: "hint" }, sentence)));
  }

  #show() {
    this.button.hidden = this.value === null;
    if (this.value === null) return;
    this.button.replaceChildren(sampleOf(this.kinds.told[this.value].picture),
      make("strong", {}, this.value.replaceAll("-", " ")), make("span", { class: "hint" }, "choose another kind"));
    this.button.dataset.picked = this.value;
  }

  #take(kind) {
    this.value = kind;
    this.#show();
    this.#unfold(false);
    this.button.focus({ preventScroll: true });
    this.picked();
  }

  #unfold(open) {
    this.choices.hidden = !open;
    this.button.setAttribute("aria-expanded", String(open));
    if (open) this.search.focus({ preventScroll: true });
  }

  /** Below the board, what is offered would lie below the window, or behind the keyboard of a phone. */
  #reveal() {
    if (oneColumn.matches) this.element.scrollIntoView({ block: "start" });
  }

  /** Offer the kinds that contain every word typed; kinds whose own name begins with it come first. */
  #find() {
    const wanted = plain(this.search.value).split(" ").filter(Boolean);
    for (const list of this.lists) {
      for (const { firstChild: choice, classList, style } of list.lastChild.children) {
        const { words, kind } = choice.dataset;
        classList.toggle("away", !wanted.every((word) => words.includes(word)));
        style.order = plain(kind).startsWith(wanted[0] ?? "") ? 0 : 1;
      }
      list.hidden = !list.querySelector("li:not(.away)");
    }
    this.none.textContent = this.lists.every((list) => list.hidden) ? "No rule has that name; a relation or a sequence may express it." : "";
  }

  /** The kinds offered, in the order in which they are shown. */
  get #offered() {
    return this.lists.filter((list) => !list.hidden).flatMap((list) => (
      [...list.querySelectorAll("li:not(.away)")].sort((one, other) => one.style.order - other.style.order)
        .map((item) => item.firstChild)));
  }

  #key(event) {
    if (event.key === "Enter") {
      event.preventDefault();
      this.#offered[0]?.click();
    } else if (event.key === "ArrowDown") {
      event.preventDefault();
      this.#offered[0]?.focus();
    }
  }

  focus() {
    (this.value === null ? this.search : this.button).focus({ preventScroll: true });
  }
}
