// The ways in which another puzzle comes onto the page: the menu, a file, the clipboard, the address.

import * as api from "./api.js";
import { make } from "./dom.js";
import { blankFile } from "./file.js";
import { fresh, opened } from "./keep.js";
import { fromFragment } from "./state.js";

const at = (id) => document.getElementById(id);

/** Call `open(state)` with every puzzle that somebody opens. */
export function waitForPuzzles(open) {
  at("start").addEventListener("click", async (event) => {
    const [sort, name] = event.target.dataset.start?.split(/:(.*)/) ?? [];
    if (!sort) return;
    closeStart();
    open(fresh(sort === "size" ? blankFile(Number(name)) : await api.example(name)));
  });
  at("start").addEventListener("keydown", (event) => {
    if (event.key === "Escape") closeStart();
  });
  document.addEventListener("pointerdown", (event) => {
    if (!at("start").contains(event.target)) at("start").open = false;
  });
  at("open").addEventListener("change", async () => {
    const [file] = at("open").files;
    at("open").value = "";
    if (file) open(opened(await file.text()));
  });
  document.addEventListener("paste", (event) => {
    const written = event.clipboardData.getData("text/plain");
    if (event.target.closest("input, textarea, select") || !written.trim()) return;
    event.preventDefault();
    open(fresh(written));
  });
  window.addEventListener("hashchange", async () => {
    const state = await fromFragment(location.hash);
    if (state) open(state);
  });
  api.examples().then((all) => at("examples").append(
    ...all.map(({ name, title }) => make("li", {},
      make("button", { type: "button", "data-start": `example:${name}` }, title))),
  ));
}

function closeStart() {
  at("start").open = false;
  at("start").querySelector("summary").focus();
}
