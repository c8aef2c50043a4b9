// Examinations: one at a time, with progress and a way to cancel. Its finding says when the
// puzzle has changed since.

import * as api from "./api.js";
import { make } from "./dom.js";
import { showFinding } from "./findings.js";

const at = (id) => document.getElementById(id);
/** Whether answers are below the board, not beside it. */
export const oneColumn = matchMedia("(max-width: 55.99rem)");

export class Examiner {
  /**
   * `now()` is the state of the puzzle, `question(more)` the body of a question with more fields.
   * `acts()` is what findings can do to the puzzle, `also()` everything else they need, both at the
   * moment of showing them; `laid` takes their pictures.
   */
  constructor({ now, question, acts, also, laid }) {
    Object.assign(this, { now, question, acts, also, laid });
    this.under = null; // the way to cancel what is under way
    this.shown = null; // the question that the finding answers, and the state that it is about
    for (const button of document.querySelectorAll("[data-question]")) {
      button.addEventListener("click", () => this.examine(button.dataset.question));
    }
    at("cancel").addEventListener("click", () => this.under?.abort());
    at("earlier").querySelector("button").addEventListener("click", () => this.examine(this.shown.name));
  }

  /** Ask something; `more` replaces fields that the page would send. */
  async examine(name, more = {}) {
    this.clear();
    const own = new AbortController();
    this.under = own;
    const budget = Number(at("budget").value);
    const tick = this.#ticking(budget);
    const state = this.now();
    reveal(at("progress"));
    let said = null;
    this.laid.lift();
    try {
      const body = this.question({ budget, steps: at("steps").value, ...more });
      const answer = await api.long(name, body, own.signal, tick);
      if (this.under === own) this.#show(name, answer, state);
    } catch (error) {
      said = error.name === "AbortError" ? "Cancelled." : "The server is not responding.";
    }
    // Another one was begun meanwhile: it has this place.
    if (this.under !== own) return;
    this.under = null;
    at("progress").hidden = true;
    if (said) at("finding").replaceChildren(make("p", {}, said));
  }

  /** The steps that are shown, to be recorded; null if there are none, or if they are of another puzzle. */
  get walk() {
    return this.stepper?.walk ?? null;
  }

  /** Where steps of this puzzle are told; null if there are none. */
  get stepper() {
    return at("finding").classList.contains("earlier") ? null : at("finding").querySelector(".stepper");
  }

  /** Show the current step of the walk again. */
  again() {
    const stepper = at("finding").querySelector(".stepper");
    stepper?.again();
    stepper?.focus({ preventScroll: true });
  }

  /** Another puzzle is opened: drop the finding on the last one, and whatever is under way. */
  clear() {
    this.under?.abort();
    this.under = null;
    this.shown = null;
    at("progress").hidden = true;
    at("finding").replaceChildren();
    this.also().point([]);
    this.follow(this.now());
  }

  /** The puzzle is in this state now: say whether the finding is about it. */
  follow(state) {
    if (!this.shown && !this.under) at("finding").replaceChildren();
    const earlier = this.shown !== null && !same(this.shown.state, state);
    at("earlier").hidden = !earlier;
    at("finding").classList.toggle("earlier", earlier);
    // Proposals for the earlier puzzle would be applied to this one.
    for (const button of at("finding").querySelectorAll("button:not(.stepper button)")) {
      button.disabled = earlier;
    }
  }

  #show(name, answer, state) {
    const acts = Object.entries(this.acts()).map(([act, done]) => [act, (found) => {
      this.shown = null;
      done(found);
      at("finding").replaceChildren(make("p", {}, "Done. Press Undo to reverse it."));
      at("finding").focus({ preventScroll: true });
    }]);
    this.shown = { name, state };
    // It stands above the answer, which would move up behind the board if it went later.
    at("progress").hidden = true;
    // Findings on a puzzle that has changed meanwhile are not shown on the board.
    const current = same(state, this.now());
    const lay = (svg, what, then = () => {}) => {
      if (!current || !same(state, this.now())) return;
      this.laid.lay(svg, what);
      then();
    };
    const frames = (steps) => this.examine("frames", { steps });
    const doing = { ...Object.fromEntries(acts), ...this.also(), lay, frames, steps: at("steps").value };
    showFinding(at("finding"), name, answer, doing);
    this.follow(this.now());
    (at("finding").querySelector(".stepper") ?? at("finding")).focus({ preventScroll: true });
    reveal(at("ask-result"));
  }

  /** Show that something is under way; call the returned function with its progress. */
  #ticking(budget) {
    const started = performance.now();
    at("progress").hidden = false;
    const tick = (told) => {
      if (told) [at("done").value, at("done").max] = told;
      else at("done").removeAttribute("value");
      const spent = (performance.now() - started) / 1000;
      at("spent").textContent = `${spent.toFixed(1)} of at most ${budget} seconds`;
    };
    tick(null);
    return tick;
  }
}

/** Whether two states are about the same puzzle with the same clues off, in whatever order. */
function same(one, other) {
  const told = ({ text, givens, rules }) => JSON.stringify([text, [...givens].sort(), [...rules].sort()]);
  return told(one) === told(other);
}

/** Bring the answer into view, if the window is too narrow to show it beside the puzzle. */
function reveal(element) {
  if (oneColumn.matches) element.scrollIntoView({ block: element.id === "progress" ? "nearest" : "start" });
}
