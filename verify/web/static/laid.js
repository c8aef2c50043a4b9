// The picture that is on the board for a while, in place of the puzzle's own: that of an answer.

const at = (id) => document.getElementById(id);

export class Laid {
  /** `lifted()` is called when the reader removes it; the board then shows the puzzle again. */
  constructor(board, lifted) {
    Object.assign(this, { board, lifted, live: null, on: false });
    at("lift").addEventListener("click", () => this.#back());
    // On a phone everything else moves below the board: its height, so that nothing is hidden behind it.
    new ResizeObserver(measure).observe(at("frame"));
  }

  /** The puzzle as it is now; a picture over an earlier one is removed. */
  show(svg) {
    this.live = svg;
    this.#take(null, false);
  }

  /** Put a picture on the board, with a few words about it. */
  lay(svg, what) {
    if (!svg) {
      this.lift();
      return;
    }
    this.board.redraw(svg);
    this.#take(what, true);
  }

  /** Show the puzzle again; return whether a picture was on it. */
  lift() {
    if (!this.on) return false;
    if (this.live) this.board.redraw(this.live);
    this.#take(null, false);
    return true;
  }

  #back() {
    this.lift();
    this.lifted();
  }

  #take(what, on) {
    this.on = on;
    at("laid").hidden = !on;
    at("laid-what").textContent = what ?? "";
    // At once: who scrolls next must know how much of the window is taken.
    measure();
  }
}

/** Note the height of the board with what is below it. */
function measure() {
  document.documentElement.style.setProperty("--frame", `${at("frame").offsetHeight}px`);
}
