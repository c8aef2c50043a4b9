// The page: a text and some switches; everything else follows from the server's answers.

import * as api from "./api.js";
import { Board } from "./board.js";
import { cellOf, nameOf } from "./cells.js";
import { Clues } from "./clues.js";
import { fileName, make, shown } from "./dom.js";
import { Digits } from "./digits.js";
import { Examiner, oneColumn } from "./examine.js";
import { blankFile, tableRange, withGiven, withRuleWritten, withoutRule } from "./file.js";
import { RuleForm } from "./forms.js";
import { fresh, keep } from "./keep.js";
import { listenToKeys, listenToUndo } from "./keys.js";
import { Laid } from "./laid.js";
import { withGivensOfLayers, withLayerGivens } from "./layer_givens.js";
import { waitForPuzzles } from "./opening.js";
import { Painting } from "./painting.js";
import { Recording } from "./recording.js";
import { History, fromFragment, toFragment } from "./state.js";
import { showConflict, showVerdict } from "./verdict.js";

const PAUSE = 10; // milliseconds without a change before the server is asked
const REST = 300; // the same before the address follows: browsers limit how often it may change
const TYPING_PAUSE = 150; // the same while someone writes in the file

const at = (id) => document.getElementById(id);
const dark = matchMedia("(prefers-color-scheme: dark)");

const history = new History(await fromFragment(location.hash) ?? fresh(blankFile(9)), changed);
let outline = null;
let ruleForm = null;
let formMade = null;
let changing = null; // the rule that is open in the form

const board = new Board(at("board"), at("picture"), {
  put(cell, symbol) {
    refuse(null);
    edit((text) => withGiven(text, outline, cell, symbol));
  },
  refuse,
  toggle: (name) => { if (board.givens.has(name)) toggle("givens", name); },
  chosen(names, begun) {
    if (at("adding").open) ruleForm?.take(names, begun);
  },
  arrived() {
    refuse(null);
    showActive();
  },
  pressed,
});
const painting = new Painting(board, {
  text: () => history.now.text,
  change(number, changes) {
    laid.lift();
    rewrite(withLayerGivens(history.now.text, outline, number, changes), "layer");
  },
});
const laid = new Laid(board, () => board.focus());
const digits = new Digits(at("digits"), (symbol) => board.write(symbol));
const recording = new Recording(() => examiner.again());
const clues = new Clues(at("clues"), {
  toggle,
  remove(number) {
    rewrite(withoutRule(history.now.text, number));
  },
  change: openRule,
  find(number) {
    const lines = tableRange(history.now.text, number);
    if (!lines) return;
    at("text").focus();
    at("text").setSelectionRange(...lines);
  },
  point: (names) => board.point(names),
});

/** Open another puzzle. */
function open(state) {
  if (changing) closeRule();
  examiner.clear();
  history.to(state);
}

/** Say that this puzzle does not have the digit or letter that someone wrote; null clears this. */
function refuse(key) {
  at("refused").textContent = key === null ? "" : `The digits here are ${Object.values(outline.symbols).join(" ")}; ${key} is not one of them.`;
}

/** A letter, or Escape, pressed on the board: acts like the button that shows it. */
function pressed(key) {
  if (key === "Escape") return laid.lift();
  if (key === "P") {
    at("show").value = at("show").value === "possible" ? "wrong" : "possible";
    look();
    return true;
  }
  if (key === "L") return painting.next();
  const button = document.querySelector(`[aria-keyshortcuts="${CSS.escape(key)}"]`);
  button?.click();
  return button !== null;
}

function edit(change) {
  if (!outline) return;
  const text = change(history.now.text);
  if (text !== history.now.text) history.to({ ...history.now, text });
}

/** Replace a rule or layer in the text; null if the file does not show where it is. */
function rewrite(text, what = "rule") {
  if (text === null) at("fault").textContent = `This ${what} does not have its own table; change it in the file.`;
  else if (text !== history.now.text) history.to({ ...history.now, text });
}

/** Open the form with the values of a rule, by its number from 1. */
function openRule(number) {
  const rule = outline.rules[number - 1];
  changing = { number, name: rule.name };
  at("adding").querySelector("summary").textContent = `Change ${shown(rule.name)}`;
  at("adding").open = true;
  board.choose(rule.values.cells?.split(" ") ?? []);
  // Wait for a form that is still on its way.
  formMade.then(() => {
    if (changing?.number !== number) return;
    ruleForm.fill(rule.values);
    ruleForm.focus();
  });
}

/** The text with a rule from the form: a new one, or a replacement for the one that was opened. */
function withTaken(toml) {
  const { text } = history.now;
  return withRuleWritten(text, outline, changing?.number ?? null, toml);
}

/** The fault of a rule from the form, as far as the rest of the puzzle shows it; or null. */
async function tryRule(toml) {
  if (!outline) return "this is not a puzzle yet, so no rule can be added";
  const text = withTaken(toml);
  if (text === null || document.body.classList.contains("faulty")) return null;
  const answer = await api.quick("reads", question({ text })).catch(() => ({}));
  return answer.error ?? null;
}

/** A rule comes from the form: a new one, or a replacement for the one that was opened. */
function takeRule(toml) {
  rewrite(withTaken(toml));
  if (changing) {
    closeRule();
    return;
  }
  ruleForm.fill();
  board.choose([]);
}

/** Close the form of a rule; the form is then for new rules again. */
function closeRule() {
  const number = changing?.number;
  changing = null;
  at("adding").querySelector("summary").textContent = "Add a rule";
  at("adding").open = false;
  ruleForm?.fill();
  at("clues").querySelectorAll(".rules li")[number - 1]?.querySelector(".tools button").focus();
}

function toggle(key, name) {
  const off = history.now[key];
  const next = name === null ? [] : off.includes(name) ? off.filter((one) => one !== name) : [...off, name];
  history.to({ ...history.now, [key]: next });
}

// After each change: the text goes into its box at once, the rest follows the server's answer.

let timer = 0;
let addressing = 0;
let asking = false;
let stale = false;
let settling = null;

function changed(state, pause = PAUSE) {
  examiner.follow(state);
  if (at("text").value !== state.text) at("text").value = state.text;
  // A puzzle line is read whole; lines of a file stay as they are.
  at("text").wrap = state.text.trim().includes("\n") ? "off" : "soft";
  at("undo").disabled = !history.canUndo;
  at("redo").disabled = !history.canRedo;
  clearTimeout(timer);
  timer = setTimeout(look, pause);
}

function question(more = {}) {
  const { text, givens, rules } = history.now;
  return { text, off: { givens, rules }, dark: dark.matches, show: at("show").value, ...more };
}

async function look() {
  stale = asking;
  if (asking) return;
  asking = true;
  settling?.abort();
  const state = history.now;
  try {
    await showLook(state, await api.quick("look", question()));
  } catch {
    fault("The server is not responding. Is gridassay serve still running?");
  } finally {
    asking = false;
    if (stale) look();
  }
  clearTimeout(addressing);
  addressing = setTimeout(async () => {
    const fragment = await toFragment(state);
    if (state === history.now) window.history.replaceState(null, "", fragment);
  }, REST);
}

async function showLook(state, answer) {
  if (answer.error) {
    fault(answer.line ? `Line ${answer.line}: ${answer.error}` : answer.error);
    return;
  }
  at("fault").textContent = "";
  document.body.classList.remove("faulty");
  outline = answer;
  const layered = answer.layers.flatMap((layer) => layer.givens.map(({ of }) => of));
  const known = { givens: new Set([...answer.givens.map(({ cell }) => cell), ...layered]),
    rules: new Set(answer.rules.map(({ name }) => name)) };
  const off = { givens: state.givens.filter((one) => known.givens.has(one)),
    rules: state.rules.filter((one) => known.rules.has(one)) };
  at("sound-title").textContent = `Is ${shown(answer.title) || "it"} sound?`;
  at("page-file").textContent = `${fileName(answer)}.page.json`;
  document.title = answer.title ? `${shown(answer.title)} – gridassay` : "gridassay";
  board.show(answer, answer.svg, off.givens);
  laid.show(answer.svg);
  painting.show(answer);
  digits.show(answer.symbols);
  clues.show(answer, off);
  judge(answer.verdict, off);
  showActive();
  if (changing && answer.rules[changing.number - 1]?.name !== changing.name) closeRule();
  performance.mark("verdict");
  if (answer.verdict.verdict === "none") explain(state, off);
  if (answer.verdict.verdict === "undecided") settle(state, off);
}

/** Another picture of the same puzzle, below any picture on the board. */
function relive(svg) {
  laid.live = svg;
  if (!laid.on) board.redraw(svg);
}

function judge(verdict, off) {
  showVerdict(at("verdict"), at("because"), outline, verdict, [...off.givens, ...off.rules].join(", "));
}

async function explain(state, off) {
  const found = await api.quick("conflict", question());
  if (state !== history.now || found.error) return;
  showConflict(at("because"), found, outline, toggle);
  clues.show(outline, off, found.conflict);
  showActive();
  if (at("show").value === "wrong") relive(found.svg);
}

/** A verdict that takes longer: asked again with the whole budget, until something changes. */
async function settle(state, off) {
  settling = new AbortController();
  try {
    const more = { budget: Number(at("budget").value) };
    const answer = await api.long("settle", question(more), settling.signal, () => {});
    if (state !== history.now || answer.error) return;
    if (answer.verdict.verdict === "undecided") {
      at("verdict").replaceChildren(make("strong", {}, "Undecided."), ` Not settled within ${more.budget} seconds.`);
      return;
    }
    judge(answer.verdict, off);
    relive(answer.svg);
    if (answer.verdict.verdict === "none") explain(state, off);
  } catch (error) {
    if (error.name !== "AbortError") throw error;
  }
}

function fault(message) {
  at("fault").textContent = shown(message);
  document.body.classList.add("faulty");
  at("verdict").className = "";
  at("verdict").replaceChildren(make("strong", {}, "This is not a puzzle yet. "), message);
  at("because").replaceChildren();
}

function showActive() {
  const digits = Object.values(outline?.symbols ?? {}).every((symbol) => symbol <= "9");
  at("given").inputMode = digits ? "numeric" : "text";
  document.body.classList.toggle("no-digits", outline !== null && !Object.keys(outline.symbols).length);
  const name = nameOf(board.active);
  at("at").textContent = `Given at ${name}`;
  if (outline) clues.touching(name, outline);
  if (document.activeElement !== at("given")) at("given").value = board.givens?.get(name) ?? "";
}

// Examinations.

const examiner = new Examiner({
  now: () => history.now,
  question,
  acts: () => ({ apply, switchOff }),
  also: () => ({ takeSteps, outline, record, point: (cells) => board.point(cells) }),
  laid,
});

/** Show some steps in the whole window. */
function record(walk) {
  recording.open(walk, shown(outline.title ?? ""));
}

/** Write other givens and rules into the file, as a mend that was found asks, leaving off everything that is off. */
function apply({ givens, layers, rules }) {
  const text = givens.reduce((now, { cell, symbol }) => withGiven(now, outline, cellOf(cell), symbol), history.now.text);
  rewrite(rules.reduce((now, { number, values }) => now && withRuleWritten(now, outline, number, ruleForm.written(values)),
    withGivensOfLayers(text, outline, layers)));
}

/** Switch several clues off at once. */
function switchOff(clues) {
  const state = { ...history.now };
  for (const [key, clue] of clues) state[key] = [...new Set([...state[key], clue])];
  history.to(state);
}

/** Put the steps of a route into the box for a walkthrough. */
function takeSteps(written) {
  at("steps").value = written;
  at("walkthrough").open = true;
  at("steps").focus();
  // At their beginning, not where the writing ended.
  at("steps").setSelectionRange(0, 0);
  at("steps").scrollTop = 0;
}

// What else can be done.

at("record").addEventListener("click", async () => {
  if (!examiner.walk) await examiner.examine("route");
  if (examiner.walk) record(examiner.walk);
});
listenToKeys({ kept: at("letters"), board, pressed, stepper: () => examiner.stepper });

at("text").addEventListener("input", () => {
  history.to({ ...history.now, text: at("text").value }, { typed: true });
  clearTimeout(timer);
  timer = setTimeout(look, TYPING_PAUSE);
});
at("given").addEventListener("input", () => {
  const written = at("given").value.trim();
  const symbol = board.symbolOf(written.slice(-1) || ".");
  if (symbol === null) {
    at("given").value = board.givens.get(nameOf(board.active)) ?? "";
    refuse(written.slice(-1));
    return;
  }
  refuse(null);
  at("given").value = symbol === "." ? "" : symbol;
  edit((text) => withGiven(text, outline, board.active, symbol));
});
at("show").addEventListener("change", look);
dark.addEventListener("change", look);
at("undo").addEventListener("click", () => history.step(-1));
at("redo").addEventListener("click", () => history.step(1));
listenToUndo(history);
at("rule-form").addEventListener("keydown", (event) => {
  if (event.key === "Escape" && changing) closeRule();
});
at("adding").addEventListener("toggle", () => {
  const { open } = at("adding");
  if (open) laid.lift();
  board.choosing = open;
  painting.rest(open);
  board.pointing = open ? ruleForm?.receiving?.pointing ?? "cells" : "cells";
  if (open) at("adding").scrollIntoView({ block: oneColumn.matches ? "start" : "nearest" });
  if (!open && changing) closeRule();
  if (!open) board.choose([]);
  if (open && !changing && board.path.length) ruleForm?.take(board.chosenNames, true);
});

for (const button of document.querySelectorAll("[data-keep]")) {
  button.addEventListener("click", async () => {
    at("kept").textContent = await keep(button.dataset.keep, history.now, outline, question);
  });
}
changed(history.now, 0);
waitForPuzzles(open);
formMade = api.rules().then((kinds) => {
  ruleForm = new RuleForm(at("rule-form"), kinds, {
    tried: tryRule,
    done: takeRule,
    left: closeRule,
    pointing: (where) => { board.pointing = at("adding").open ? where : "cells"; },
  });
});
