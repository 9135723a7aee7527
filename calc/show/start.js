// The parts of the start page. Each is drawn anew from what Python says of it.

const button = (text, act, more = {}) => el("button", { type: "button", onclick: act, ...more }, text);
const said = (data) => el("div", { role: "status", class: "sb-lines" }, data.said ?? "");

const draw = {
  job(model, data) {
    const files = el("select", { onchange: () => model.send({ kind: "choose", file: files.value }) });
    options(files, data.jobs.map((file) => [file, file]), data.chosen);
    const name = el("input", { type: "text", autocomplete: "off", maxlength: "80" });
    const starter = el("select");
    options(starter, data.starters, data.starters[0]?.[0]);
    const make = () => { if (name.value.trim()) model.send({ kind: "make", name: name.value, starter: starter.value }); else name.focus(); };
    name.addEventListener("keydown", (event) => { if (event.key === "Enter") make(); });
    return [
      el("div", { class: "sb-tools" }, labelled("Job", files)),
      el("div", { class: "sb-tools" }, labelled("Or a new one, called", name), labelled("begun as", starter), button("Make this job", make)),
      el("div", { class: "sb-tools" }, button("Lay out what is missing", () => model.send({ kind: "propose" })), ...proposals(model, data)),
      said(data),
    ];
  },

  glance(model, data) {
    const row = (each) => el("tr", {},
      el("th", { scope: "row" }, ...(each.notebooks.length ? links(each.notebooks, each.title) : [each.title])),
      el("td", {}, each.state.toLowerCase() in SHAPES ? stateSign(each.state.toLowerCase()) : each.state), el("td", {}, each.says));
    const head = el("tr", {}, ...["Calculation", "State", "What it says"].map((text) => el("th", { scope: "col" }, text)));
    return [
      el("h3", {}, data.title), el("p", { class: "sb-lines" }, data.intro),
      data.rows.length ? el("div", { class: "sb-list sb-wide", tabindex: "0", role: "region", "aria-label": data.title },
        el("table", {}, el("thead", {}, head), el("tbody", {}, ...data.rows.map(row)))) : "",
      ...data.notes.map((note) => el("p", { class: "sb-odd" }, note)),
      el("div", { class: "sb-tools" }, button("Look again", () => model.send({ kind: "look" })),
        data.others.length ? el("span", {}, "Also here: ", ...links(data.others)) : ""),
    ];
  },

  packet(model, data) {
    const parts = [button("Make the packet", () => model.send({ kind: "make" }), { disabled: data.busy })];
    if (data.made && !data.busy) parts.push(button("Open the packet (PDF)", () => model.send({ kind: "open" })));
    const bar = el("progress", { max: data.all, value: data.done, "aria-label": "Packet, notebooks run" });
    return [el("div", { class: "sb-tools" }, ...parts), data.busy ? bar : "", said(data)];
  },

  spreadsheets(model, data) {
    const list = el("select");
    options(list, data.lists.map(([key, title, count]) => [key, `${title} (${count})`]), model.chosenList ?? data.lists[0]?.[0]);
    list.addEventListener("change", () => { model.chosenList = list.value; });
    const out = (ending) => () => model.send({ kind: "out", key: list.value, ending });
    const file = el("input", { type: "file", accept: ".csv,.xlsx" });
    const add = el("select");
    options(add, [["", "in place of what is there"], ["add", "after what is there"]], "");
    const take = async () => {
      if (!file.files.length) { file.focus(); return; }
      const raw = await file.files[0].arrayBuffer();
      model.send({ kind: "in", key: list.value, name: file.files[0].name, add: add.value === "add" }, undefined, [raw]);
    };
    return [
      el("div", { class: "sb-tools" }, labelled("List", list), button("Out as CSV", out(".csv")), button("Out as XLSX", out(".xlsx"))),
      el("div", { class: "sb-tools" }, labelled("Spreadsheet", file), labelled("goes", add), button("Take it in", take)),
      said(data),
    ];
  },
};

// What was laid out and waits: to be taken up or taken out again, all of it or by name.
function proposals(model, data) {
  if (!data.proposed?.length) return [];
  const which = el("select");
  options(which, data.proposed, data.proposed[0][0]);
  const act = (kind) => () => model.send({ kind, name: which.value });
  return [labelled("Proposed", which), button("Accept", act("accept")), button("Take out again", act("withdraw"))];
}

// The pages of a calculation, the first by its title.
const links = (notebooks, first) => notebooks.flatMap(([file, heading], at) =>
  [at ? ", " : "", pageLink(file, "", at === 0 && first ? first : heading)]);

function hand(file, buffers) {
  const url = URL.createObjectURL(new Blob([buffers[0]], { type: file.type }));
  const link = el("a", file.type === "application/pdf" ? { href: url, target: "_blank" } : { href: url, download: file.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 600000);
}

export default {
  render({ model, el: root }) {
    begin(root, "start");
    const show = () => {
      const held = [...root.querySelectorAll("button, select, input, a")].indexOf(document.activeElement);
      root.replaceChildren(...draw[model.get("part")](model, model.get("data")));
      if (held >= 0) [...root.querySelectorAll("button, select, input, a")][held]?.focus();
    };
    show();
    if (model.get("part") === "job") fromTheTop();
    model.on("change:data", show);
    model.on("msg:custom", hand);
  },
};
