// Steps of a walkthrough, of a route or your own: told beside the board, each shown on it.

import { key, make } from "./dom.js";

const WAYS = { ArrowRight: 1, ArrowDown: 1, PageDown: 1, ArrowLeft: -1, ArrowUp: -1, PageUp: -1 };

/** How far a key steps; null if it does not step. Clickers send the keys of pages. */
export function wayOf(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return null;
  return WAYS[event.key] ?? null;
}

/** The current place in some steps: which step, and which of its stages. */
export class Walk {
  constructor(steps, staged = false) {
    Object.assign(this, { steps, staged, at: 0 });
    this.stage = staged ? 0 : this.last;
  }

  get step() {
    return this.steps[this.at];
  }

  get last() {
    return this.step.stages.length - 1;
  }

  get still() {
    return this.step.stages[this.stage];
  }

  /** The current words: the whole sentence, or that of a stage. */
  get said() {
    return this.staged ? this.still.said : this.step.text;
  }

  to(number, stage = this.staged ? 0 : null) {
    this.at = Math.min(Math.max(number, 0), this.steps.length - 1);
    this.stage = Math.min(stage ?? this.last, this.last);
  }

  by(way) {
    const next = this.stage + way;
    if (this.staged && next >= 0 && next <= this.last) this.stage = next;
    else if (this.at + way >= 0 && this.at + way < this.steps.length) {
      this.to(this.at + way);
      if (way < 0) this.stage = this.last;
    }
  }
}

/**
 * The steps beside the board: the sentence of one, buttons to others, and the list of all. `results` says for
 * each what an audit found; `lay(svg, what)` shows a picture on the board, `record(walk)` fills the window.
 */
export function stepper(steps, { crux = null, results = [], title, lay, record }) {
  const walk = new Walk(steps);
  const number = make("output", {});
  const said = make("p", { class: "said", "aria-live": "polite" });
  const list = make("ol", { class: "told", "aria-label": "All steps" }, ...steps.map((step, place) => {
    const odd = results[place]?.odd;
    return make("li", { class: odd ? "odd" : "" }, make("button", { type: "button", tabindex: -1,
      click: () => go(place) },
    make("span", { class: "number" }, step.number),
    make("span", {}, make("strong", {}, step.name ? `${step.name}: ` : ""), step.text,
      ...results[place]?.said() ?? [])));
  }));
  const show = () => {
    const { step, at } = walk;
    const stage = walk.staged && walk.last ? `, stage ${walk.stage + 1} of ${walk.last + 1}` : "";
    number.textContent = `Step ${step.number} of ${steps.at(-1).number.split("–").at(-1)}${stage}${at === crux ? ", the crux" : ""}`;
    said.replaceChildren(make("strong", {}, step.name ? `${step.name}: ` : ""), walk.said,
      ...results[at]?.said() ?? []);
    [...list.children].forEach(({ firstChild }, place) => {
      if (place === at) firstChild.setAttribute("aria-current", "step");
      else firstChild.removeAttribute("aria-current");
    });
    const { offsetTop, offsetHeight } = list.children[at];
    const over = offsetTop - list.offsetTop;
    if (over < list.scrollTop) list.scrollTop = over;
    else if (over + offsetHeight > list.scrollTop + list.clientHeight) {
      list.scrollTop = over + offsetHeight - list.clientHeight;
    }
    lay(walk.still.svg, `${title}: ${number.textContent.toLowerCase()}`);
  };
  const go = (place) => { walk.to(place); show(); };
  const by = (way) => { walk.by(way); show(); };
  const staged = make("input", { type: "checkbox", change: () => {
    walk.staged = staged.checked;
    walk.to(walk.at);
    show();
  } });
  const element = make("div", { class: "stepper", tabindex: 0, role: "group", "aria-label": "Steps: use the arrow keys to move between them",
    keydown: (event) => {
      const way = wayOf(event);
      const end = { Home: 0, End: steps.length - 1 }[event.key];
      if (way === null && end === undefined) return;
      event.preventDefault();
      if (way === null) go(end);
      else by(way);
    } },
  make("div", { class: "bar" },
    make("button", { type: "button", click: () => by(-1) }, "Back ", key("←")),
    make("button", { type: "button", class: "main", click: () => by(1) }, "Next step ", key("→")),
    crux === null ? null : make("button", { type: "button", click: () => go(crux) }, "To the crux"),
    make("button", { type: "button", click: () => record(walk) }, "Record these ", key("R")),
    make("label", { class: "together" }, staged, "in stages"),
    number),
  said, list);
  element.walk = walk;
  element.again = show;
  queueMicrotask(show);
  return element;
}
