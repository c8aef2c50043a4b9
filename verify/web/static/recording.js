// Steps in the whole window, for a camera: the board, what is said, and nothing else. In the shape of a
// screen, 16 to 9, whatever the window's.

import { make, pictureOf } from "./dom.js";
import { Walk, wayOf } from "./steps.js";

export class Recording {
  /** `left()` is called when it is closed: the page continues at the current step. */
  constructor(left) {
    this.left = left;
  }

  /** Show the steps of a walk in stages, from the current one. */
  open(from, title) {
    this.from = from;
    this.walk = new Walk(from.steps, true);
    this.walk.to(from.at);
    this.board = make("div", { class: "filmed" });
    this.name = make("p", { class: "name" });
    this.said = make("p", { class: "saying", "aria-live": "polite" });
    this.dialog = make("dialog", { class: "recording", "aria-label": `Recording: ${title}`,
      keydown: (event) => this.#key(event), click: (event) => this.#click(event), close: () => this.#closed() },
    make("div", { class: "screen", tabindex: 0, autofocus: true, role: "group",
      "aria-label": "Use the arrow keys or click to step; press Escape to leave" },
    this.board, make("div", { class: "words" }, this.name, this.said)));
    document.body.append(this.dialog);
    this.dialog.showModal();
    document.documentElement.requestFullscreen?.().catch(() => {});
    this.#show();
  }

  #show() {
    const { still, step, staged } = this.walk;
    if (still.svg) {
      const drawing = pictureOf(still.svg);
      drawing.removeAttribute("width");
      drawing.removeAttribute("height");
      drawing.setAttribute("aria-hidden", "true");
      this.board.replaceChildren(drawing);
    }
    this.name.textContent = step.name;
    this.said.textContent = staged ? still.said : step.text;
    // The longest sentences are set smaller, so that nothing has to be scrolled.
    const { length } = this.said.textContent;
    this.said.style.setProperty("--letters", Math.max(length, 90));
  }

  #by(way) {
    this.walk.by(way);
    this.#show();
  }

  #key(event) {
    const way = wayOf(event) ?? { " ": 1, Enter: 1, Backspace: -1 }[event.key];
    const end = { Home: 0, End: this.walk.steps.length - 1 }[event.key];
    if (event.key === "s" || event.key === "S") {
      this.walk.staged = !this.walk.staged;
      this.walk.to(this.walk.at);
      this.#show();
    } else if (way !== undefined && way !== null) this.#by(way);
    else if (end !== undefined) {
      this.walk.to(end);
      this.#show();
    } else return;
    event.preventDefault();
  }

  /** For a finger: the left third goes back, the rest goes on. */
  #click({ clientX }) {
    this.#by(clientX < innerWidth / 3 ? -1 : 1);
  }

  #closed() {
    this.dialog.remove();
    if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
    this.from.to(this.walk.at);
    this.left();
  }
}
