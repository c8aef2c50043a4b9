// A form for every kind of rule, made from the JSON Schema of the rule classes, that writes TOML.

import { make } from "./dom.js";

const APART = ["kind", "id", "optional"];

/** What a field takes, told from its schema. */
function sortOf(field) {
  const ways = (field.anyOf ?? [field]).flatMap((way) => way.anyOf ?? [way]);
  const array = ways.find((way) => way.type === "array");
  const isText = ways.some((way) => way.type === "string");
  const listed = ways.find((way) => way.enum)?.enum;
  if (array?.items.$ref) return { sort: "rules" };
  if (array?.items.anyOf) return { sort: "groups" };
  if (array && isText) return { sort: "cells" };
  if (array?.items.enum) return { sort: "several", of: array.items.enum };
  if (array) return { sort: "numbers" };
  if (listed) return { sort: "one", of: listed };
  if (ways.some((way) => way.type === "boolean")) return { sort: "yes" };
  const isNumber = ways.some((way) => way.type === "integer");
  return { sort: isNumber ? (isText ? "clue" : "number") : "text" };
}

const HINTS = {
  cells: "choose cells in the grid, or write r1c1 r1c2 or r1c1..r1c5",
  groups: "a group of cells a line: each choice in the grid begins one",
  numbers: "numbers with spaces between them",
  clue: "a number, or a letter for an unknown one",
};

let made = 0;

/** The fields of one rule, which may hold others. */
class Fields {
  constructor(kinds, receive, nested) {
    Object.assign(this, { kinds, receive, nested });
    this.kind = make("select", { id: `kind-${(made += 1)}` },
      ...Object.keys(kinds).map((kind) => make("option", { value: kind }, kind)));
    this.kind.addEventListener("change", () => this.#build());
    this.about = make("p", { class: "hint" });
    this.place = make("div", { class: "fields" });
    this.element = make(nested ? "fieldset" : "div", {},
      nested ? make("legend", {}, "Nested rule") : null,
      make("div", { class: "field" }, make("label", { for: this.kind.id }, "Kind"), this.kind, this.about),
      this.place);
    this.#build();
  }

  #build() {
    const schema = this.kinds[this.kind.value];
    this.about.textContent = (schema.description ?? "").split("\n\n")[0].replaceAll("``", "");
    this.inputs = new Map();
    const names = Object.keys(schema.properties).filter((name) => !APART.includes(name));
    this.place.replaceChildren(...[...names, "id"].map((name) => this.#field(name, schema)));
    this.receive(this.place.querySelector("[data-cells]"));
  }

  #field(name, schema) {
    const field = schema.properties[name];
    const { sort, of } = sortOf(field);
    const id = `field-${(made += 1)}`;
    const needed = schema.required?.includes(name) ?? false;
    let input;
    if (sort === "rules") return this.#rules(name);
    if (sort === "one") {
      input = make("select", { id }, needed ? null : make("option", { value: "" }, "not said"),
        ...of.map((value) => make("option", { value }, value)));
      input.value = field.default ?? (needed ? of[0] : "");
    } else if (sort === "several") {
      input = make("select", { id, multiple: true, size: Math.min(5, of.length) },
        ...of.map((value) => make("option", { value }, value)));
    } else if (sort === "yes") {
      input = make("input", { id, type: "checkbox" });
      input.checked = field.default === true;
    } else if (sort === "groups") {
      input = make("textarea", { id, rows: 3, "data-cells": "groups" });
    } else {
      input = make("input", { id, "data-cells": sort === "cells" ? "one" : null,
        placeholder: field.default ?? null, inputmode: sort === "number" ? "numeric" : null });
    }
    input.required = needed && sort !== "yes";
    if (input.dataset.cells) input.addEventListener("focus", () => this.receive(input));
    this.inputs.set(name, { input, sort });
    const told = [field.description, HINTS[sort]].filter((one) => one && !one.startsWith("references"));
    const hint = told.length ? make("span", { class: "hint", id: `${id}-hint` }, told.join("; ")) : null;
    if (hint) input.setAttribute("aria-describedby", hint.id);
    const label = make("label", { for: id }, name === "id" ? "Name (id)" : name, needed ? "" : " (may be left out)");
    return make("div", { class: sort === "yes" ? "field yes" : "field" }, label, input, hint);
  }

  #rules(name) {
    const inner = [];
    const add = () => {
      const fields = new Fields(this.kinds, this.receive, true);
      inner.push(fields);
      list.append(fields.element);
      fields.kind.focus();
    };
    const list = make("div", {});
    const button = make("button", { type: "button", click: add }, "Add a nested rule");
    this.inputs.set(name, { inner, sort: "rules" });
    return make("div", { class: "field" }, list, button);
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

const number = (text) => (/^[+-]?\d+$/.test(text) ? String(Number(text)) : JSON.stringify(text));

/** What is written for a field, or null where it is left out. */
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

export class RuleForm {
  /** `add(toml)` is called with a finished rule. */
  constructor(form, schema, add) {
    const kinds = Object.fromEntries(Object.entries(schema.$defs)
      .filter(([name]) => name.startsWith("rule-"))
      .map(([name, rule]) => [name.slice("rule-".length), rule]));
    this.form = form;
    const receive = (input) => { this.receiving = input; };
    let fields = new Fields(kinds, receive, false);
    const renew = () => {
      const kind = fields.kind.value;
      fields = new Fields(kinds, receive, false);
      fields.kind.value = kind;
      fields.kind.dispatchEvent(new Event("change"));
      place.replaceChildren(fields.element);
    };
    const place = make("div", {}, fields.element);
    form.replaceChildren(place, make("button", { type: "submit", class: "main" }, "Add this rule"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      add(fields.toml("rule"));
      renew();
    });
  }

  /** Take the cells that are chosen in the grid. */
  take(names, begun) {
    const input = this.receiving;
    if (!input?.isConnected) return;
    if (input.dataset.cells === "one") input.value = names.join(" ");
    else {
      const lines = input.value.split("\n").filter((line) => line.trim());
      if (!begun) lines.pop();
      input.value = [...lines, names.join(" ")].join("\n");
    }
  }
}
