// A form for every kind of rule, made from the JSON Schema of the rule classes, that writes TOML.

import { make } from "./dom.js";
import { Picker } from "./picker.js";

const HEAD = ["kind", "text", "id", "optional"];

/** What a field takes, from its schema and those beside it. */
function sortOf(name, schema) {
  const field = schema.properties[name];
  const ways = (field.anyOf ?? [field]).flatMap((way) => way.anyOf ?? [way]);
  const array = ways.find((way) => way.type === "array");
  const isText = ways.some((way) => way.type === "string");
  const listed = ways.find((way) => way.enum)?.enum;
  if (array?.items.$ref) return { sort: "rules" };
  if (array?.items.anyOf) return { sort: "groups" };
  if (array && isText) {
    if (schema.properties.direction) return { sort: "start" };
    const at = name === "cells" ? schema["x-drawn-at"] : "cells";
    return { sort: at };
  }
  if (array?.items.enum) return { sort: "several", of: array.items.enum };
  if (array) return { sort: "numbers" };
  if (listed) return { sort: "one", of: listed };
  if (ways.some((way) => way.type === "boolean")) return { sort: "yes" };
  const isNumber = ways.some((way) => way.type === "integer");
  if (name === "line") return { sort: schema.properties.side ? "side" : "line" };
  return { sort: isNumber ? (isText ? "clue" : "number") : "text" };
}

const HINTS = {
  cells: "choose cells in the grid, or write r1c1 r1c2 or r1c1..r1c5",
  edge: "click the border between two cells; click it again to reverse the pair; or choose the two cells",
  corner: "click the corner where four cells meet; or choose cells",
  groups: "one group of cells per line: each choice in the grid starts a new group",
  line: "drag along it in the grid, or write r3 or c5",
  side: "drag along the row or column, starting from the side it is read from, or write r3 or c5",
  start: "drag in the grid from the first cell in the reading direction, or write a cell",
  numbers: "numbers with spaces between them",
  clue: "a number, or a letter for an unknown one",
};
const TAKE_CELLS = ["cells", "edge", "corner", "groups", "line", "side", "start"];

const MEANT = {
  number: [/^[+-]?\d+$/, "this must be a whole number"],
  clue: [/^([+-]?\d+|[A-Za-z][A-Za-z0-9_]*)$/, "this must be a whole number, or a letter for an unknown one"],
  numbers: [/^[+-]?\d+([\s,]+[+-]?\d+)*$/, "these must be whole numbers, with spaces between them"],
  line: [/^[rc]\d+$/, "this must be a row such as r3 or a column such as c5"],
};
MEANT.side = MEANT.line;

let made = 0;

/** The fields of one rule, which may hold others. `receive(fields, name)` says which field takes cells. */
class Fields {
  constructor(kinds, receive, nested, values = {}) {
    Object.assign(this, { kinds, receive, nested });
    this.kind = new Picker(kinds, values.kind, () => this.#build(this.#written()));
    this.about = make("p", { class: "hint" });
    this.place = make("div", { class: "fields" });
    this.element = make(nested ? "fieldset" : "div", {},
      nested ? make("legend", {}, "Nested rule") : null,
      this.kind.element, this.about, this.place);
    this.inputs = new Map();
    if (this.kind.value) this.#build(values);
  }

  get schema() {
    return this.kinds.schemas[this.kind.value];
  }

  #build(values) {
    const { schema } = this;
    this.about.textContent = (schema.description ?? "").split("\n\n")[0].replaceAll(/`+/g, "");
    this.inputs = new Map();
    const names = Object.keys(schema.properties).filter((name) => !HEAD.includes(name));
    const last = this.nested ? ["text", "id"] : ["text", "id", "optional"];
    // In this order: that of the fields is that of the lines in the file.
    const first = names.map((name) => this.#field(name, schema, values[name]));
    const rare = make("details", { class: "wide-field" }, make("summary", {}, "Rule text and name"),
      make("div", { class: "fields" }, ...last.map((name) => this.#field(name, schema, values[name]))));
    rare.open = last.some((name) => values[name]);
    this.place.replaceChildren(...first, rare);
    this.receives = [...this.inputs].find(([, { sort }]) => TAKE_CELLS.includes(sort))?.[0];
    this.receive(this, this.receives);
  }

  /** The contents of the fields, for fields of another kind with the same names. */
  #written() {
    const told = [...this.inputs].filter(([, { sort }]) => TAKE_CELLS.includes(sort) || sort === "clue");
    return Object.fromEntries(told.map(([name, { input }]) => [name, input.value]));
  }

  #field(name, schema, value) {
    const field = schema.properties[name];
    const { sort, of } = sortOf(name, schema);
    const id = `field-${(made += 1)}`;
    const needed = schema.required?.includes(name) ?? false;
    let input;
    if (sort === "rules") return this.#rules(name, value);
    if (sort === "one") {
      input = make("select", { id }, needed ? null : make("option", { value: "" }, "not set"),
        ...of.map((one) => make("option", { value: one }, one)));
      input.value = value ?? field.default ?? (needed ? of[0] : "");
    } else if (sort === "several") {
      input = make("select", { id, multiple: true, size: Math.min(5, of.length) },
        ...of.map((one) => make("option", { value: one }, one)));
      for (const option of input.options) option.selected = value?.includes(option.value) ?? false;
    } else if (sort === "yes") {
      input = make("input", { id, type: "checkbox" });
      input.checked = value ?? field.default === true;
    } else {
      input = sort === "groups" ? make("textarea", { id, rows: 3 })
        : make("input", { id, placeholder: field.default ?? null, inputmode: sort === "number" ? "numeric" : null });
      input.value = Array.isArray(value) ? value.join(sort === "groups" ? "\n" : " ") : value ?? "";
    }
    input.required = needed && sort !== "yes";
    if (TAKE_CELLS.includes(sort)) {
      input.addEventListener("focus", () => {
        this.receives = name;
        this.receive(this, name);
      });
    }
    this.inputs.set(name, { input, sort });
    const said = /^(references|r3 for)/.test(field.description) ? null : field.description;
    const told = [input.required ? "required" : null, said, HINTS[sort]].filter(Boolean);
    const hint = told.length ? make("span", { class: "hint", id: `${id}-hint` }, told.join("; ")) : null;
    const fault = make("span", { class: "fault", id: `${id}-fault`, role: "alert" });
    input.setAttribute("aria-describedby", [hint?.id, fault.id].filter(Boolean).join(" "));
    input.addEventListener("input", () => blame(input, ""));
    const label = make("label", { for: id }, name === "id" ? "name" : name);
    const wide = ([...TAKE_CELLS, "text"].includes(sort) && name !== "id") || (sort === "yes" && hint) ? " wide-field" : "";
    return make("div", { class: `field${sort === "yes" ? " yes" : ""}${wide}` }, label, input, hint, fault);
  }

  #rules(name, values) {
    const inner = [];
    const list = make("div", {});
    const add = (one) => {
      const fields = new Fields(this.kinds, this.receive, true, one);
      inner.push(fields);
      list.append(fields.element);
      return fields;
    };
    (Array.isArray(values) ? values : []).forEach(add);
    const button = make("button", { type: "button", click: () => add().kind.focus() }, "Add a nested rule");
    this.inputs.set(name, { inner, sort: "rules" });
    return make("div", { class: "field wide-field" }, list, button);
  }

  /** What pointing near a border of cells means to the field that receives. */
  get pointing() {
    const sort = this.inputs.get(this.receives)?.sort;
    return sort === "edge" || sort === "corner" ? sort : "cells";
  }

  /** Take the cells that are chosen in the grid, in order; `begun` if the choice is new. */
  take(names, begun) {
    const { input, sort } = this.inputs.get(this.receives) ?? {};
    if (!input?.isConnected) return;
    blame(input, "");
    if (sort === "groups") {
      const lines = input.value.split("\n").filter((line) => line.trim());
      if (!begun) lines.pop();
      input.value = [...lines, names.join(" ")].join("\n");
    } else if (sort === "start") {
      input.value = names[0];
      this.#say("direction", wayOf(names, [["up", "down"], ["left", "right"]]).join("-"));
    } else if (sort === "line" || sort === "side") {
      const [down, right] = wayOf(names, [["bottom", "top"], ["right", "left"]]);
      if (!down === !right) return;
      input.value = /[rc]\d+/.exec(down ? names[0].slice(names[0].indexOf("c")) : names[0])[0];
      this.#say("side", down || right);
    } else input.value = names.join(" ");
  }

  #say(name, value) {
    const input = this.inputs.get(name)?.input;
    if (input && [...input.options].some((option) => option.value === value)) input.value = value;
  }

  /** Say beside each field what is wrong with it; return the first such input, or undefined. */
  check() {
    const wrong = [...this.inputs.values()].flatMap(({ input, sort, inner }) => {
      if (sort === "rules") return inner.map((one) => one.check());
      const [pattern, meant] = MEANT[sort] ?? [];
      const written = input.value.trim();
      if (!pattern || !written || pattern.test(written)) return [];
      blame(input, `${meant}, not “${written}”`);
      return [input];
    });
    return wrong.find(Boolean);
  }

  /** The input that an error of the server is about: the error names its field, or its content. */
  blamed(error) {
    const field = /^([\w-]+)[.\w]*: /.exec(error)?.[1];
    const cell = /\br\d+c\d+\b/.exec(error)?.[0];
    const inputs = [...this.inputs].filter(([, { input }]) => input);
    const found = inputs.find(([name]) => name === field)
      ?? inputs.find(([, { input }]) => cell && input.value.split(/[\s.]+/).includes(cell));
    return found?.[1].input;
  }

  /** The rule as TOML under a header such as `[[rule]]`. */
  toml(path) {
    const lines = [`[[${path}]]`, `kind = ${JSON.stringify(this.kind.value)}`];
    const nested = [];
    for (const [name, { input, sort, inner }] of this.inputs) {
      if (sort === "rules") nested.push(...inner.map((one) => one.toml(`${path}.${name}`)));
      else {
        const value = valueOf(input, sort);
        if (value !== null) lines.push(`${name} = ${value}`);
      }
    }
    return [`${lines.join("\n")}\n`, ...nested].join("\n");
  }
}

/** Which of two words each way has, rows and columns, that cells lead from the first to the last. */
function wayOf(names, words) {
  const [from, to] = [names[0], names.at(-1)].map((name) => name.match(/\d+/g).map(Number));
  return words.map(([back, forth], axis) => (to[axis] < from[axis] ? back : to[axis] > from[axis] ? forth : ""));
}

/** Say beside an input what is wrong with it; clear this if nothing is. */
function blame(input, fault) {
  const place = document.getElementById(`${input.id}-fault`);
  if (place) place.textContent = fault;
  if (fault) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
}

const number = (text) => (/^[+-]?\d+$/.test(text) ? String(Number(text)) : JSON.stringify(text));

/** The TOML of a field, or null if it is left out. */
function valueOf(input, sort) {
  if (sort === "yes") return input.checked ? "true" : null;
  if (sort === "several") {
    const values = [...input.selectedOptions].map((option) => option.value);
    return values.length ? JSON.stringify(values) : null;
  }
  const text = input.value.trim();
  if (!text) return null;
  if (sort === "numbers") return `[${text.split(/[\s,]+/).map(number).join(", ")}]`;
  if (sort === "groups") return JSON.stringify(text.split(/\n+/).map((one) => one.trim()));
  return sort === "number" || sort === "clue" ? number(text) : JSON.stringify(text);
}

/** The form, for a new rule or an existing one. */
export class RuleForm {
  /**
   * `tried(toml)` says what is wrong with a rule, or gives null; `done(toml)` is called with one that is
   * right, `pointing(at)` when clicks near borders change meaning.
   */
  constructor(form, { schema, groups, told }, { tried, done, left, pointing }) {
    const schemas = Object.fromEntries(Object.entries(schema.$defs)
      .filter(([name]) => name.startsWith("rule-"))
      .map(([name, rule]) => [name.slice("rule-".length), rule]));
    this.kinds = { schemas, groups, told };
    Object.assign(this, { tried, done, trying: false });
    this.receive = (fields) => {
      this.receiving = fields;
      pointing(fields.pointing);
    };
    this.place = make("div", {});
    this.submit = make("button", { type: "submit", class: "main" });
    this.leave = make("button", { type: "button", click: left }, "Leave it as it was");
    this.fault = make("p", { class: "fault", role: "alert" });
    form.replaceChildren(this.place, this.fault, make("div", { class: "bar" }, this.submit, this.leave));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (!this.trying && this.fields.kind.value) this.#finish();
    });
    this.fill();
  }

  /** Begin again: with a rule's values, to change it, or for a new rule of the last kind. */
  fill(values = null) {
    this.changes = values !== null;
    this.receiving = null;
    this.fields = new Fields(this.kinds, (fields, name) => {
      this.receive(fields, name);
      this.submit.hidden = false;
    }, false, values ?? { kind: this.fields?.kind.value });
    this.place.replaceChildren(this.fields.element);
    this.fault.textContent = "";
    this.submit.hidden = !this.fields.kind.value;
    this.submit.textContent = this.changes ? "Change this rule" : "Add this rule";
    this.leave.hidden = !this.changes;
  }

  /** Pass the rule on if nothing is wrong with it; else keep the form as it is and say what is wrong. */
  async #finish() {
    this.fault.textContent = "";
    const { fields } = this;
    let wrong = fields.check();
    if (!wrong) {
      const toml = fields.toml("rule");
      this.trying = true;
      const error = await this.tried(toml).finally(() => { this.trying = false; });
      // The form may have been closed or filled in again meanwhile.
      if (fields !== this.fields) return;
      if (!error) {
        this.done(toml);
        return;
      }
      const told = error.replace(/^rule \d+ \([\w-]+\): /, "");
      wrong = fields.blamed(told);
      wrong?.closest("details:not([open])")?.setAttribute("open", "");
      if (wrong) blame(wrong, told);
      else this.fault.textContent = told;
    }
    wrong?.focus();
  }

  take(names, begun) {
    this.receiving?.take(names, begun);
  }

  /** A rule with these values as TOML. */
  written(values) {
    return new Fields(this.kinds, () => {}, false, values).toml("rule");
  }

  /** Go to the first field that does not take cells, the one most likely to be filled in. */
  focus() {
    const fields = [...this.fields.inputs].filter(([name]) => !HEAD.includes(name)).map(([, field]) => field);
    const chosen = fields.find(({ sort }) => !TAKE_CELLS.includes(sort) && sort !== "rules") ?? fields[0];
    (chosen?.input ?? this.fields.kind).focus();
  }
}
