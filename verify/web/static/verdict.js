// The verdict in words, and its reasons.

import { called, switchOf } from "./clues.js";
import { make } from "./dom.js";

const HEADLINES = {
  unique: "One solution.",
  multiple: "More than one solution.",
  none: "No solution.",
  undecided: "Not settled yet.",
};

/** More names than these would move the board around while someone types. */
const MOST_NAMED = 6;

/** The verdict at the board; possible slips, which change no verdict, go to `aside`. */
export function showVerdict(place, aside, outline, verdict, off) {
  aside.replaceChildren(...warned(verdict));
  const open = verdict.verdict === "multiple" || verdict.verdict === "undecided";
  if (open && !outline.givens.length && !outline.rules.length && !outline.layers.length) {
    place.className = "";
    place.replaceChildren(make("strong", {}, "Type givens, paste a puzzle or open an example."),
      " The verdict follows every edit.");
    return;
  }
  place.className = verdict.verdict;
  place.replaceChildren(make("strong", {}, HEADLINES[verdict.verdict]), ` ${detail(outline, verdict)}`,
    make("span", { class: "without" }, off ? ` With ${off} switched off.` : ""));
}

function warned({ warnings }) {
  if (!warnings?.length) return [];
  return [make("ul", { class: "warnings" }, ...warnings.map((said) => make("li", {}, `Possible slip: ${said}.`)))];
}

function detail(outline, verdict) {
  if (verdict.verdict === "undecided") return "Still checking …";
  if (verdict.verdict !== "multiple") return "";
  const differs = verdict.differs;
  if (differs.length > MOST_NAMED) {
    const where = outline.layers.length ? "places" : `of ${outline.cells.length} cells`;
    return `Two of them differ in ${differs.length} ${where}.`;
  }
  return `Two of them differ in ${differs.join(" ")}.`;
}

/** Clues that cannot all hold, each with its own switch, above the possible slips. */
export function showConflict(place, found, outline, toggle) {
  if (!found.conflict?.length) return;
  const parts = found.conflict.map((name) => {
    const clue = switchOf(name, outline);
    const said = called(name, outline);
    return make("li", {}, clue ? make("button", { type: "button", class: "small ringed",
      "aria-label": `Switch ${said} off`, click: () => toggle(...clue) }, said) : said);
  });
  place.prepend(make("p", {}, "These cannot all hold; press one to switch it off:"),
    make("ul", { class: "premises" }, ...parts));
}
