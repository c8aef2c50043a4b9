// Examinations: one at a time, with its progress, to be cancelled, and its finding.

import * as api from "./api.js";
import { make } from "./dom.js";
import { showFinding } from "./findings.js";

const at = (id) => document.getElementById(id);

export class Examiner {
  /**
   * `question(more)` is the body of a question with what more it takes. `acts()` are what findings can
   * do to the puzzle, `also()` all else that they ask for, both at the moment that they are shown.
   */
  constructor({ question, acts, also }) {
    Object.assign(this, { question, acts, also });
    this.under = null; // the way to cancel what is under way
    for (const button of document.querySelectorAll("[data-question]")) {
      button.addEventListener("click", () => this.examine(button.dataset.question));
    }
    at("cancel").addEventListener("click", () => this.under?.abort());
  }

  async examine(name) {
    this.under?.abort();
    const own = new AbortController();
    this.under = own;
    const budget = Number(at("budget").value);
    const tick = this.#ticking(budget);
    at("finding").replaceChildren();
    let said = null;
    try {
      const body = this.question({ budget, steps: at("steps").value });
      const answer = await api.long(name, body, own.signal, tick);
      if (this.under === own) this.#show(name, answer);
    } catch (error) {
      said = error.name === "AbortError" ? "Cancelled." : "The server does not answer.";
    }
    // Another one that was begun meanwhile has the place to itself.
    if (this.under !== own) return;
    this.under = null;
    at("progress").hidden = true;
    if (said) at("finding").replaceChildren(make("p", {}, said));
  }

  #show(name, answer) {
    const acts = Object.entries(this.acts()).map(([act, done]) => [act, (found) => {
      done(found);
      at("finding").replaceChildren(make("p", {}, "It is done; Undo takes it back."));
      at("finding").focus({ preventScroll: true });
    }]);
    showFinding(at("finding"), name, answer, { ...Object.fromEntries(acts), ...this.also() });
    at("finding").focus({ preventScroll: true });
  }

  /** Show that something is under way; the result is called with how far it is. */
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
