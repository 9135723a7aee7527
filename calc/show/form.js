// A form drawn from the job model's own field descriptions. Python holds the job; this draws it and reports edits.

const el = (tag, attributes = {}, ...inside) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === undefined || value === null) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...inside);
  return node;
};

let serial = 0;

function control(model, field, at, value, labelledBy) {
  const id = `sb-${++serial}`;
  const common = { id, "data-at": at, "aria-labelledby": labelledBy, "aria-describedby": `${id}-said` };
  const send = (text) => model.send({ kind: "set", at, text });
  let input;
  if (field.choices.length) {
    input = el("select", { ...common, onchange: () => send(input.value) });
    const blank = field.required ? [] : [["", field.standard ? `(${field.standard})` : ""]];
    for (const [choice, shown] of [...blank, ...field.choices.map((c) => [c, c])])
      input.append(el("option", { value: choice, selected: choice === value }, shown));
    if (value && !field.choices.includes(value)) input.append(el("option", { value, selected: true }, value));
  } else {
    input = el("input", {
      ...common, type: field.type, value, inputmode: field.number ? "decimal" : undefined, autocomplete: "off",
      spellcheck: "false", placeholder: field.standard ? `${field.standard} if empty` : undefined,
    });
    let timer;
    let last = value;
    const settle = () => {
      clearTimeout(timer);
      if (input.value !== last) { last = input.value; send(input.value); }
    };
    input.addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(settle, 100); });
    input.addEventListener("change", settle);
    input.sbSet = (text) => { last = text; };
  }
  const said = el("span", { id: `${id}-said`, class: "sb-said", "data-said": at });
  return { id, input, said };
}

function fieldRow(model, group, field, values) {
  const at = group.at ? `${group.at}.${field.key}` : field.key;
  const made = control(model, field, at, values[at] ?? "", undefined);
  const unit = field.unit ? el("span", { class: "sb-unit" }, field.unit) : "";
  const label = el("label", { for: made.id }, field.label);
  made.input.removeAttribute("aria-labelledby");
  return el("div", { class: "sb-field" }, label, el("span", { class: "sb-in" }, made.input, unit),
    el("span", { class: "sb-help" }, field.help), made.said);
}

function listTable(model, group, values) {
  const count = values[`${group.at}.count`] ?? 0;
  const act = (name, index, more = {}) => () => model.send({ kind: name, at: group.at, index, ...more });
  const heads = group.fields.map((field) => {
    const id = `sb-h-${++serial}`;
    return [id, el("th", { id, scope: "col", title: field.help }, field.unit ? `${field.label}, ${field.unit}` : field.label)];
  });
  const head = el("tr", {}, el("th", { scope: "col" }, "No."), ...heads.map((h) => h[1]), el("th", { scope: "col" }, "Row"));
  const body = el("tbody");
  for (let row = 0; row < count; row++) {
    const rowId = `sb-r-${++serial}`;
    const cells = group.fields.map((field, at) => {
      const place = `${group.at}[${row + 1}].${field.key}`;
      const made = control(model, field, place, values[place] ?? "", `${rowId} ${heads[at][0]}`);
      return el("td", { "data-field": field.key }, made.input, made.said);
    });
    const button = (text, name, label, off, more) =>
      el("button", { type: "button", title: label, "aria-label": `${label} row ${row + 1}`, disabled: off, onclick: act(name, row, more) }, text);
    body.append(el("tr", {}, el("th", { id: rowId, scope: "row" }, `${row + 1}`), ...cells,
      el("td", { class: "sb-row" },
        button("▲", "move", "Move up", row === 0, { to: row - 1 }), button("▼", "move", "Move down", row === count - 1, { to: row + 1 }),
        button("Copy", "copy", "Copy", false), button("Remove", "remove", "Remove", false))));
  }
  const add = el("button", { type: "button", class: "sb-add", onclick: act("add", count) }, `Add to ${group.title.toLowerCase()}`);
  const paste = el("textarea", { rows: "1", "aria-label": `Paste rows from a spreadsheet into ${group.title.toLowerCase()}`, placeholder: "Paste rows from a spreadsheet here" });
  paste.addEventListener("paste", (event) => {
    event.preventDefault();
    model.send({ kind: "paste", at: group.at, text: event.clipboardData.getData("text/plain") });
  });
  paste.addEventListener("change", () => { if (paste.value.trim()) model.send({ kind: "paste", at: group.at, text: paste.value }); });
  return el("div", {}, el("div", { class: "sb-scroll", tabindex: "0", role: "region", "aria-label": group.title },
    el("table", {}, el("thead", {}, head), body)),
    el("div", { class: "sb-tools" }, add, paste));
}

function draw(model, root) {
  const spec = model.get("spec");
  const values = model.get("values");
  const bar = el("div", { class: "sb-bar" });
  const tool = (name, text) => el("button", { type: "button", "data-tool": name, onclick: () => model.send({ kind: name }) }, text);
  const status = el("span", { role: "status", class: "sb-status" });
  bar.append(tool("undo", "Undo"), tool("redo", "Redo"), tool("save", "Save"), status);
  const choices = el("div", { class: "sb-choices" });
  root.replaceChildren(bar, choices);
  for (const group of spec) {
    const inside = group.list ? [listTable(model, group, values)] : group.fields.map((f) => fieldRow(model, group, f, values));
    root.append(el("fieldset", { class: group.list ? "sb-list" : "sb-group" }, el("legend", {}, group.title), ...inside));
  }
  told(model, root);
}

function told(model, root) {
  const problems = model.get("problems");
  for (const said of root.querySelectorAll("[data-said]")) {
    const text = problems[said.dataset.said] ?? "";
    if (said.textContent !== text) said.textContent = text;
    const input = root.querySelector(`[data-at="${CSS.escape(said.dataset.said)}"]`);
    if (input) text ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
  }
  const state = model.get("state");
  root.querySelector(".sb-status").textContent = state.text ?? "";
  for (const name of ["undo", "redo", "save"]) root.querySelector(`[data-tool="${name}"]`).disabled = !state[name];
  const choices = root.querySelector(".sb-choices");
  choices.replaceChildren(...(state.choices ?? []).map(([name, text]) =>
    el("button", { type: "button", onclick: () => model.send({ kind: name }) }, text)));
}

function refill(model, root) {
  const values = model.get("values");
  for (const input of root.querySelectorAll("[data-at]")) {
    const text = values[input.dataset.at] ?? "";
    if (document.activeElement === input && input.tagName === "INPUT") continue;
    if (input.value !== text) input.value = text;
    input.sbSet?.(text);
  }
}

export default {
  render({ model, el: place }) {
    place.classList.add("sb-form");
    const redraw = () => {
      const held = document.activeElement?.dataset?.at;
      draw(model, place);
      if (held) place.querySelector(`[data-at="${CSS.escape(held)}"]`)?.focus();
    };
    redraw();
    model.on("change:shape", redraw);
    model.on("change:values", () => refill(model, place));
    model.on("change:problems change:state", () => told(model, place));
  },
};
