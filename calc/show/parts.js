// What all pages of the workbook share: making elements, and keeping the keys of a page from the notebook around it.

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

// Each widget brings a copy of this: names made here must differ from those of the others on the page.
const mine = Math.random().toString(36).slice(2, 8);
let serial = 0;
const fresh = (stem) => `sb-${mine}-${stem}-${++serial}`;
const spaced = (choice) => choice.replace(/([a-z])-(?=[a-z])/g, "$1 ");

// In JupyterLab a key pressed on a list or a button is a command of the notebook otherwise: D twice deletes the cell.
// It looks for this mark on the element that has the keyboard before it looks further out.
const begin = (root, name) => {
  root.classList.add("sb", `sb-${name}`);
  root.addEventListener("focusin", (event) => event.target.setAttribute("data-lm-suppress-shortcuts", "true"));
};

// A state by its word and by a shape; the shape says nothing that the word does not.
const SHAPES = { "passes": "✓", "falls short": "✗", "not worked": "—", "not shown": "?", "proposed": "○" };
const stateSign = (state) => el("strong", { class: `sb-state sb-is-${state.replaceAll(" ", "-")}` },
  el("span", { "aria-hidden": "true", class: "sb-shape" }, SHAPES[state] ?? ""), state === "passes" ? state : state.toUpperCase());

const labelled = (text, control, ...after) => {
  control.id ||= fresh("in");
  return el("span", { class: "sb-labelled" }, el("label", { for: control.id }, text), control, ...after);
};

const options = (select, choices, chosen) => {
  select.replaceChildren(...choices.map(([value, shown]) => el("option", { value, selected: value === chosen }, shown)));
};

// Only what is in sight is drawn: Python is told when a page comes into sight and when it leaves. Until it is first drawn
// it keeps its place, so that what stands beneath it doesn't come into sight for nothing.
const watch = (model, root) => {
  const waits = () => root.classList.toggle("sb-waiting", !model.get("drawn"));
  waits();
  model.on("change:drawn", waits);
  const page = crypto.randomUUID?.() ?? String(Math.random());
  const tell = (seen) => {
    try {
      model.send({ kind: "sight", page, seen });
    } catch { /* the page is being left, and its kernel is gone */ }
  };
  const seen = new IntersectionObserver((entries) => tell(entries.at(-1).isIntersecting));
  seen.observe(root);
  return () => { seen.disconnect(); tell(false); };
};

// JupyterLab around the page, where there is one: a page of Voila has an application of that name too, without notebooks.
const lab = () => (window.jupyterapp?.commands?.hasCommand?.("docmanager:open") ? window.jupyterapp : null);

// Run All Cells leaves JupyterLab at the last cell: whoever asked for it wants to begin at the first.
const fromTheTop = () => {
  const notebook = lab()?.shell?.currentWidget?.content;
  if (notebook?.scrollToItem && notebook.activeCellIndex === notebook.widgets.length - 1) toTop(notebook);
};

const toTop = (notebook) => {
  notebook.activeCellIndex = 0;
  return notebook.scrollToItem(0);
};

// What Python draws, put in place of what it drew before; what was opened stays open.
const opened = (page) => new Set([...page.querySelectorAll("details[open][data-key]")].map((each) => each.dataset.key));

// No writing in a chart is smaller than this: where the page is narrow its chart is wider than it, and scrolls.
const LEAST_PX = 12;

function legible(page) {
  if (page.closest(".sb-two .sb-beside")) return; // beside a form a chart is a glance; it stands in full below
  for (const drawing of page.querySelectorAll("svg")) {
    const sizes = [...drawing.querySelectorAll("text")].map((text) => parseFloat(getComputedStyle(text).fontSize));
    if (sizes.length && drawing.viewBox.baseVal) drawing.style.minWidth = `${Math.ceil(drawing.viewBox.baseVal.width * LEAST_PX / Math.min(...sizes))}px`;
  }
}

function fill(page, html) {
  const open = opened(page);
  page.innerHTML = html;
  legible(page);
  for (const each of page.querySelectorAll("details[data-key]")) {
    each.addEventListener("toggle", () => unfold(each));
    each.open = open.has(each.dataset.key);
  }
}

// What a step opens to is read across the whole sheet, in a row of its own beneath, not in the narrow column of the names.
function unfold(step) {
  const row = step.closest("tr");
  const under = row.nextElementSibling;
  if (step.open) {
    const inside = el("td", { colspan: row.cells.length }, ...[...step.children].slice(1));
    row.after(el("tr", { class: "sb-why" }, inside));
  } else if (under?.classList.contains("sb-why")) {
    step.append(...under.cells[0].children);
    under.remove();
  }
}

// A link to a page beside this one, and there to an entry. JupyterLab opens it in a tab and runs it; elsewhere it is a
// page to go to, with the entry behind the #.
function pageLink(file, at, ...inside) {
  return el("a", { href: at ? `${file}#${encodeURIComponent(at)}` : file, onclick: (event) => {
    if (!lab()) return;
    event.preventDefault();
    goTo(file, at);
  } }, ...inside);
}

async function goTo(file, at) {
  const app = lab();
  const here = app.shell.currentWidget?.context?.path ?? "notebooks/";
  window.studbayEntry = at;
  const page = await app.commands.execute("docmanager:open", { path: here.replace(/[^/]*$/, file) });
  await page.context.ready;
  await page.context.sessionContext.ready;
  app.shell.activateById(page.id);
  await app.commands.execute("notebook:run-all-cells");
  await toTop(page.content);
}

// The entry that a link to this page was about, once.
function wantedEntry() {
  const at = window.studbayEntry ?? decodeURIComponent(location.hash.slice(1));
  window.studbayEntry = undefined;
  return at;
}

// The page that this is, by its file.
const thisPage = () => decodeURIComponent((lab()?.shell?.currentWidget?.context?.path ?? location.pathname).split("/").at(-1));
