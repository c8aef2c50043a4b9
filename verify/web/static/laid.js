// What lies on the board for a while: the picture of something that was asked, in place of the puzzle's own.

const at = (id) => document.getElementById(id);

export class Laid {
  /** `lifted()` is called when someone takes it off; the board shows the puzzle again by then. */
  constructor(board, lifted) {
    Object.assign(this, { board, lifted, live: null, on: false });
    at("lift").addEventListener("click", () => this.#back());
    // On a phone all else moves below the board: how high it is, so that nothing comes to lie behind it.
    new ResizeObserver(([{ target }]) => {
      document.documentElement.style.setProperty("--frame", `${target.offsetHeight}px`);
    }).observe(at("frame"));
  }

  /** The puzzle as it is now: whatever lay over an earlier one is gone. */
  show(svg) {
    this.live = svg;
    this.#take(null, false);
  }

  /** Lay a picture on the board, with what it is in a few words. */
  lay(svg, what) {
    if (!svg) {
      this.lift();
      return;
    }
    this.board.redraw(svg);
    this.#take(what, true);
  }

  /** Show the puzzle again; whether anything lay on it. */
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
  }
}
