// Puzzles from files and into files.

import * as api from "./api.js";
import { bytesOf, fileName, save } from "./dom.js";
import { stateOf, toFragment } from "./state.js";

/** A puzzle with all of its clues on. */
export function fresh(text) {
  return { text, givens: [], rules: [] };
}

/** A file that was opened: a puzzle, or what this page saved with its switches. */
export function opened(text) {
  try {
    return stateOf(JSON.parse(text)) ?? fresh(text);
  } catch {
    return fresh(text);
  }
}

const TYPES = { svg: "image/svg+xml", png: "image/png", pdf: "application/pdf" };

/** Hand out the puzzle as `what`: "file", "state", "link" or a format of pictures. Returns the message to show. */
export async function keep(what, state, outline, question) {
  const name = fileName(outline);
  if (what === "file") {
    save(`${name}.${outline?.document === false ? "txt" : "toml"}`, state.text, "text/plain");
  } else if (what === "state") {
    save(`${name}.page.json`, JSON.stringify(state, null, 1), "application/json");
  } else if (what === "link") {
    const link = new URL(await toFragment(state), location.href).href;
    return navigator.clipboard.writeText(link).then(
      () => "The link is copied. It holds the whole puzzle.",
      () => "The link is in the address bar.",
    );
  } else {
    const answer = await api.quick("draw", question({ format: what, dark: false }));
    if (answer.error) return answer.error;
    save(`${name}.${what}`, bytesOf(answer.data), TYPES[what]);
  }
  return "";
}
