// The findings of examinations, in words.

import { drawAxes } from "./axes.js";
import { called, switchOf } from "./clues.js";
import { bytesOf, fileName, make, save } from "./dom.js";
import { stepper } from "./steps.js";

const counted = (found) => (found ? `${found.count}${found.exact ? "" : " or more"}` : "not counted in time");
const listed = (names) => names.join(", ");

function paragraph(...inside) {
  return make("p", {}, ...inside);
}

function named(clues, outline) {
  return listed(clues.map((name) => called(name, outline)));
}

/** The route of a puzzle: the steps that lead to its solution. */
function route(answer, doing) {
  const { told, techniques, crux, verdict } = answer;
  if (verdict === "none") return [paragraph("There is no route, because there is no solution.")];
  if (!told.length) return [paragraph("There is no step to show.")];
  const profile = Object.entries(techniques).map(([name, times]) => `${name} ${times}`).join(", ");
  const ending = answer.solved ? "They lead to the solution."
    : verdict === "multiple" ? "They stop here, because there are several solutions."
      : "Time ran out before the solution was reached.";
  const hard = crux === null ? null : told.findLastIndex(({ at }) => at <= crux);
  return [
    paragraph(`${answer.steps.length} steps: ${profile}. ${ending}`),
    stepper(told, { ...doing, crux: hard, title: "How it is solved" }),
    make("div", { class: "bar" },
      make("button", { type: "button", click: () => save(`${fileName(doing.outline)}.steps`, answer.written, "text/plain") }, "Save the steps"),
      make("button", { type: "button", click: () => doing.takeSteps(answer.written) }, "Edit and audit them"),
      make("button", { type: "button", click: () => doing.frames(answer.written) }, "Save them as pictures")),
  ];
}

function clues(answer, doing) {
  const { outline } = doing;
  if (answer.verdict !== "unique") {
    return [paragraph("The worth of clues can be shown only for a puzzle with one solution.")];
  }
  const point = (cells) => ({ mouseenter: () => doing.point(cells), mouseleave: () => doing.point([]) });
  const shade = "The stronger the shade of a given, the more cells are left open when it is removed.";
  doing.lay(answer.svg, shade);
  const rows = [...answer.givens, ...answer.rules].map((effect) => {
    const worth = effect.wasted === null ? "not examined in time" : effect.wasted ? "wasted" : "needed";
    const opens = effect.opens?.length ? { class: "pointing", ...point(effect.opens) } : {};
    return make("tr", opens,
      make("th", { scope: "row" }, effect.premise ? called(effect.premise, outline) : `${effect.cell}=${effect.digit}`),
      make("td", {}, worth),
      make("td", {}, effect.without ? counted(effect.without) : "–"),
      make("td", {}, effect.opens ? String(effect.opens.length) : "–"));
  });
  const said = { true: "Every clue is needed.", null: "Not every clue was examined in time.", false:
    answer.droppable ? `Not every clue is needed. These can all be removed at once: ${named(answer.droppable, outline)}.`
      : "Not every clue is needed." };
  return [
    paragraph(said[answer.irreducible]),
    make("div", { class: "wide", tabindex: 0, role: "region", "aria-label": "Clue by clue" },
      make("table", {},
        make("thead", {}, make("tr", {}, ...["Clue", "Worth", "Solutions without it", "Cells that open"]
          .map((head) => make("th", { scope: "col" }, head)))),
        make("tbody", {}, ...rows))),
    make("p", { class: "hint" }, `On the board: ${shade[0].toLowerCase()}${shade.slice(1)} Point at a row of the table to see which cells open.`),
  ];
}

function mend(answer, { apply, switchOff, outline, lay }) {
  if (answer.verdict === "unique") return [paragraph("Nothing to repair: it has one solution.")];
  const parts = [];
  if (answer.verdict === "undecided") parts.push(paragraph("The verdict was not settled in time."));
  if (answer.solution_count) parts.push(paragraph(`It has ${counted(answer.solution_count)} solutions.`));
  if (answer.differs?.length) {
    const nearest = answer.differs_fewest ? "The two nearest solutions" : "Two solutions";
    parts.push(paragraph(`${nearest} differ in ${listed(answer.differs)}.`));
  }
  if (answer.repair?.length) {
    const how = answer.repair_smallest ? "The fewest givens that leave one solution"
      : "Givens that leave one solution (perhaps fewer are enough)";
    parts.push(paragraph(`${how}: ${listed(answer.repair)}. `,
      make("button", { type: "button", click: () => apply(answer.repair_edit) }, "Add these givens")));
  }
  if (answer.repair_rules?.enough) {
    parts.push(paragraph(`Rules that would be enough if switched on: ${named(answer.repair_rules.rules, outline)}.`));
  }
  (answer.lacking ?? []).forEach((what, place) => {
    parts.push(paragraph(`One solution is left if you ${what}. `,
      make("button", { type: "button", class: "small", "aria-label": `Add it: ${what}`,
        click: () => apply(answer.lacking_edits[place]) }, "Add it")));
  });
  for (const { premises } of answer.conflicts ?? []) {
    parts.push(paragraph(`These cannot all hold: ${named(premises, outline)}.`));
  }
  if (answer.drop) {
    const clues = answer.drop.premises.map((name) => switchOf(name, outline));
    parts.push(paragraph(`It has a solution without ${named(answer.drop.premises, outline)}. `,
      clues.every(Boolean) ? make("button", { type: "button", class: "small", click: () => switchOff(clues) }, "Switch off") : null));
  }
  (answer.slips ?? []).forEach(({ slip }, place) => {
    parts.push(paragraph(`Possible slip: ${slip}. `,
      make("button", { type: "button", class: "small", "aria-label": `Correct it: ${slip}`,
        click: () => apply(answer.edits[place]) }, "Correct it")));
  });
  if (answer.ran_out) parts.push(paragraph(`No time was left for: ${listed(answer.ran_out)}.`));
  lay(answer.svg, "What is wrong, marked on the board.");
  return parts;
}

function kin(answer, { lay }) {
  const ways = answer.automorphisms;
  if (answer.patterns.length) {
    lay(answer.svg, "A line marks a mirror; a ring marks the centre of a turn.", () => drawAxes(answer.patterns));
  }
  return [
    paragraph("Kin are the same puzzle in disguise: turned or mirrored, with rows or columns swapped, or digits renamed."),
    paragraph(answer.patterns.length ? `The pattern of its clues looks the same after: ${listed(answer.patterns)}.`
      : "The pattern of its clues has no symmetry."),
    paragraph(ways > 1 ? `${ways} ways of moving and renaming map it onto itself.`
      : "No other way of moving or renaming maps it onto itself."),
    paragraph("Two puzzles are kin if this line is the same:"),
    make("pre", { tabindex: 0, role: "region", "aria-label": "The line that all its kin share" }, answer.canonical),
  ];
}

function certify(answer, { outline }) {
  const name = `${fileName(outline)}.certificate.zip`;
  save(name, bytesOf(answer.zip), "application/zip");
  return [
    paragraph(`Certified: ${answer.claim}. ${name} is in your downloads.`),
    paragraph("It covers the file as written, with every clue on. Anyone can check it:"),
    make("pre", {}, `gridassay recheck ${name}`),
  ];
}

const CAPTIONS = {
  narrow: "Narrow places are the steps of the route that have no alternative: that is where solvers get stuck.",
  crux: "The crux is the hardest step of the route.",
  pattern: "The pattern is where the clues are, and whether it looks the same when turned or mirrored.",
};

function assay(answer, { outline }) {
  // The first line is the conclusion; a line without a caption continues the one above.
  const [[, conclusion], ...words] = answer.words;
  const lines = words.flatMap(([caption, said]) => [
    caption ? make("dt", {}, caption) : null, make("dd", {}, said)].filter(Boolean));
  return [
    paragraph(make("strong", {}, conclusion)),
    make("dl", { class: "assay" }, ...lines),
    ...words.flatMap(([caption]) => (CAPTIONS[caption] ? [make("p", { class: "hint" }, CAPTIONS[caption])] : [])),
    make("button", { type: "button", click: () => save(`${fileName(outline)}.assay.html`, answer.page, "text/html") }, "Save it as a page"),
  ];
}

function sheet(answer, { outline }) {
  const name = `${fileName(outline)}.walkthrough`;
  const said = paragraph(`The walkthrough: ${answer.ending}.`);
  if (!answer.page) return [said];
  return [
    said,
    make("div", { class: "bar" },
      make("button", { type: "button", click: () => save(`${name}.html`, answer.page, "text/html") }, "Save it as a page"),
      make("button", { type: "button", click: () => save(`${name}.pdf`, bytesOf(answer.pdf), "application/pdf") }, "Save it as a PDF")),
  ];
}

/** A picture for each stage of a walkthrough, and its words. */
function frames(answer, { outline }) {
  const name = `${fileName(outline)}.frames.zip`;
  save(name, bytesOf(answer.zip), "application/zip");
  return [paragraph(`${name} is in your downloads: ${answer.count} numbered pictures to lay over a video, and cues.vtt: what to say with each picture, and for how long.`)];
}

const RESULTS = {
  sound: "sound", idle: "true, but already known", wider: "true, but does not follow from what it names",
  unforced: "true only in some solutions", wrong: "wrong", unreadable: "not understood",
  early: "true, but earlier steps were left out", unclear: "not understood, or has several meanings",
};

function audit(answer, doing) {
  const misnamed = answer.steps.some((step) => step.misnamed);
  const said = !answer.ok ? "Not every step follows from what it names."
    : misnamed ? "Every step follows, though some are misnamed." : "Every step follows.";
  const shown = new Map(answer.told.map((step) => [step.at, step]));
  // A step that could not be read has no picture, but keeps its place.
  const told = answer.steps.map((step, at) => ({ number: String(step.step ?? at + 1), name: "", stages: [{ said: "", svg: null }],
    ...shown.get(at), text: step.text ?? step.said }));
  const results = answer.steps.map((step) => {
    const plain = ["sound", "idle"].includes(step.result) && !step.misnamed;
    return { odd: !plain, said: () => [make("br"),
      make("em", {}, step.misnamed ? `${RESULTS[step.result]}, but misnamed` : RESULTS[step.result]),
      step.detail ? ` – ${step.detail}` : "",
      step.means ? ` – ${step.means}` : "",
      ...(step.skipped ?? []).map((line) => make("span", { class: "line" }, `left out: ${line}`)),
      ...(step.rightly && step.said ? step.rightly : []).map((line) => make("span", { class: "line" }, `valid reason: ${line}`))] };
  });
  return [
    paragraph(answer.steps.length ? `${said} ${answer.ending[0].toUpperCase()}${answer.ending.slice(1)}.` : "There are no steps to audit."),
    told.length ? stepper(told, { ...doing, results, title: "The walkthrough" }) : null,
    shown.size ? make("button", { type: "button", click: () => doing.frames(doing.steps) }, "Save them as pictures") : null,
  ];
}

const TITLES = {
  assay: "The whole assay",
  route: "How it is solved", sheet: "A walkthrough to print", audit: "The walkthrough",
  frames: "Steps as pictures",
  clues: "What each clue is worth", mend: "What would repair it", kin: "Its kin", certify: "Certificate",
};
const WORDS = { assay, frames, route, sheet, audit, clues, mend, kin, certify };

/** Show the answer to an examination. */
export function showFinding(place, question, answer, doing) {
  const inside = answer.error ? [paragraph(answer.error)] : WORDS[question](answer, doing);
  place.replaceChildren(make("h3", {}, TITLES[question]), ...inside.filter(Boolean));
}
