// What the page is about: a text and the clues that are switched off. With its history,
// and as the fragment of an address.

/** States are `{text, givens, rules}`: `givens` (cells) and `rules` (names) are off. */
export class History {
  constructor(state, changed) {
    this.states = [state];
    this.at = 0;
    this.changed = changed;
    this.typing = 0;
  }

  get now() {
    return this.states[this.at];
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at < this.states.length - 1;
  }

  /** Move to a state. Continuous typing is one change. */
  to(state, { typed = false } = {}) {
    const now = performance.now();
    const goesOn = typed && now - this.typing < 700 && this.at > 0;
    this.typing = typed ? now : 0;
    this.states.length = this.at + (goesOn ? 0 : 1);
    this.states.push(state);
    if (this.states.length > 400) this.states.shift();
    this.at = this.states.length - 1;
    this.changed(state);
  }

  step(by) {
    const at = this.at + by;
    if (at < 0 || at >= this.states.length) return;
    this.typing = 0;
    this.at = at;
    this.changed(this.now);
  }
}

/** A state read from JSON, or null if it is not one. */
export function stateOf(data) {
  if (!data || typeof data.text !== "string") return null;
  const list = (key) => (Array.isArray(data[key]) ? data[key].filter((one) => typeof one === "string") : []);
  return { text: data.text, givens: list("givens"), rules: list("rules") };
}

async function through(stream, bytes) {
  const piped = new Blob([bytes]).stream().pipeThrough(stream);
  return new Uint8Array(await new Response(piped).arrayBuffer());
}

/** The state as the fragment of an address, compressed. */
export async function toFragment(state) {
  const bytes = new TextEncoder().encode(JSON.stringify(state));
  const small = await through(new CompressionStream("deflate-raw"), bytes);
  const letters = Array.from(small, (byte) => String.fromCharCode(byte)).join("");
  return `#p=${btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")}`;
}

const LONGEST = 1_000_000;

/** The state that a fragment holds, or null. */
export async function fromFragment(fragment) {
  const found = /^#p=([\w-]+)$/.exec(fragment);
  if (!found || found[1].length > LONGEST) return null;
  try {
    const letters = atob(found[1].replaceAll("-", "+").replaceAll("_", "/"));
    const small = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    const bytes = await through(new DecompressionStream("deflate-raw"), small);
    return stateOf(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    return null;
  }
}
