// A form drawn from the job model's own field descriptions. Python holds the job; this draws it and reports edits.

// Columns of a list at a width of the form; what an entry has besides opens beneath it.
const mainFields = (width) => (width >= 1000 ? 6 : width >= 880 ? 5 : 4);
const BESIDE_FROM = 1320; // width of a form that has room for the result beside it
const CHART_MS = 500; // a chart is drawn once nobody types
const PROBLEMS_LISTED = 6;
const BLANK_SHOWN = 6; // of what an entry has blank, as much stands open in its record
const TYPING_MS = 300; // a pause after which what was typed is taken as meant
const LOST_MS = 5000; // no answer for so long: say so, and keep people from typing into nothing
const LOOK_MS = 3000;

class Page {
  constructor(model, root) {
    Object.assign(this, { model, root, opened: new Set(), folds: new Map(), hands: {}, visit: 0, queue: [], waiting: false, looked: 0 });
    begin(root, "form");
    root.addEventListener("focusin", (event) => this.entered(event.target));
    root.addEventListener("focusout", (event) => {
      if (!this.begunRow || !event.relatedTarget || event.relatedTarget.closest(`[data-entry="${CSS.escape(this.begunRow)}"]`)) return;
      this.begunRow = undefined;
      this.tell();
    });
    root.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && event.key === "s") {
        event.preventDefault();
        event.target.blur();
        event.target.focus();
        this.send({ kind: "save" });
      }
    });
    root.addEventListener("keydown", (event) => this.along(event));
    for (const kind of ["input", "change"]) root.addEventListener(kind, (event) => this.typedIn(event.target));
    this.look = () => this.lookAgain();
    window.addEventListener("focus", this.look);
    root.addEventListener("pointerenter", this.look);
    this.drawn = "";
    this.body = el("div", { class: "sb-body" });
    this.beside = this.madeBeside();
    this.arrange(root.clientWidth || window.innerWidth);
    this.draw();
    this.tellBeside();
    model.on("change:beside", (this.hearBeside = () => this.tellBeside()));
    this.sized = new ResizeObserver(() => this.fit());
    this.sized.observe(root);
    this.hear = () => this.answered();
    model.on("change:answers", this.hear);
    this.putBack();
    this.send({ kind: "look" });
    this.goTo = (event) => this.reveal(event.detail);
    window.addEventListener("studbay-entry", this.goTo);
    this.wanted = wantedEntry();
  }

  end() {
    clearTimeout(this.timer);
    this.sized.disconnect();
    window.removeEventListener("focus", this.look);
    window.removeEventListener("studbay-entry", this.goTo);
    this.model.off("change:answers", this.hear);
    this.model.off("change:beside", this.hearBeside);
    clearTimeout(this.charting);
  }

  // -- speaking with Python: one message at a time, the latest text of a place only --------------------------

  send(message) {
    if (!["look", "about"].includes(message.kind) && !this.puttingBack) this.note = "";
    const last = this.queue.at(-1);
    if (message.kind === "about" && last?.kind === "about") this.queue.pop();
    if (message.kind === "set" && last?.kind === "set" && last.at === message.at) this.queue.pop();
    if (message.kind === "set") message = { ...message, since: Date.now() };
    this.queue.push(message);
    this.next();
  }

  // What was typed and not answered yet is in this tab, under the job's file: it outlives the page, the kernel and the server.
  hold() {
    const open = [this.sent, ...this.queue].filter((each) => each?.kind === "set");
    try {
      if (open.length) sessionStorage.setItem(this.heldAs, JSON.stringify(open));
      else sessionStorage.removeItem(this.heldAs);
    } catch { /* a browser that keeps nothing */ }
    return open;
  }

  get heldAs() { return `studbay ${this.model.get("state").file}`; }

  putBack() {
    let held = [];
    try { held = JSON.parse(sessionStorage.getItem(this.heldAs)) ?? []; } catch { /* nothing that can be read */ }
    this.puttingBack = true;
    for (const { at, text } of held) this.send({ kind: "set", at, text });
    this.puttingBack = false;
    if (held.length) this.note = `Put back ${held.length} ${held.length === 1 ? "entry" : "entries"} from when the connection was lost.`;
  }

  next() {
    this.root.toggleAttribute("data-busy", this.waiting || this.queue.length > 0);
    if (this.waiting || !this.queue.length) return;
    this.waiting = true;
    this.timer = setTimeout(() => this.lose(), LOST_MS);
    this.sent = this.queue.shift();
    this.hold();
    try {
      this.model.send(this.sent);
    } catch {
      this.lose();
    }
  }

  lose() {
    const gone = this.root.querySelector(".sb-lost");
    const open = this.hold();
    const since = new Date(open[0]?.since ?? Date.now()).toTimeString().slice(0, 5);
    gone.textContent = `Lost connection: ${open.length ? `entries since ${since} are in this tab, those before are kept` : "all entries are kept"}. ` +
      (lab() ? "If this does not pass, run the notebook again (menu Run, Run All Cells)."
        : "If this does not pass, load this page again; where that shows nothing, start the workbook again and open it in this tab.");
    for (const group of this.root.querySelectorAll("fieldset")) group.disabled = true;
  }

  answered() {
    clearTimeout(this.timer);
    this.waiting = false;
    this.sent = undefined;
    this.hold();
    const lost = this.root.querySelector(".sb-lost");
    if (lost.textContent) {
      lost.textContent = "";
      for (const group of this.root.querySelectorAll("fieldset")) group.disabled = false;
    }
    if (this.shape() === this.drawn) this.refill();
    else this.draw();
    this.redrawByHand();
    this.tell();
    this.next();
  }

  lookAgain() {
    if (this.queue.length || this.waiting || Date.now() - this.looked < LOOK_MS) return;
    this.looked = Date.now();
    this.send({ kind: "look" });
  }

  // -- places ------------------------------------------------------------------------------------------------

  get values() { return this.model.get("values"); }

  shape() { return Object.entries(this.values).filter(([at]) => at.endsWith("#")).map((pair) => pair.join("")).join(); }

  count(place) { return Number(this.values[`${place}#`] ?? 0); }

  called(entry) { return this.values[`${entry}.name`] || spaced(this.values[`${entry}.kind`] || "") || `no. ${entry.match(/(\d+)\]$/)[1]}`; }

  // What has the keyboard is neither under the bar nor under the heading of its list.
  uncover(target) {
    if (!this.body.contains(target)) return;
    const head = target.closest(".sb-scroll")?.querySelector("thead").getBoundingClientRect().bottom;
    const within = target.getBoundingClientRect().top - head;
    if (within < 0) target.closest(".sb-scroll").scrollBy(0, within - 4);
    const under = target.getBoundingClientRect().top - this.root.querySelector(".sb-bar").getBoundingClientRect().bottom;
    if (under < 0) this.scroller().scrollBy(0, under - 8);
  }

  scroller() {
    let each = this.root.parentElement;
    while (each && !(each.scrollHeight > each.clientHeight && /auto|scroll/.test(getComputedStyle(each).overflowY))) each = each.parentElement;
    return each ?? window;
  }

  entered(target) {
    this.uncover(target);
    const row = target.closest?.("tr[data-entry]")?.dataset.entry;
    if (target.dataset?.at) this.visit += 1;
    const editing = row ?? target.dataset?.at;
    if (editing && editing !== this.editing) {
      this.editing = editing;
      if (this.beside.open && !this.beside.hidden) this.send({ kind: "about", at: editing });
    }
    const line = target.closest?.("tr[data-entry]:not(.sb-more)");
    if (this.line && this.line !== line) { this.line.sbTyped = false; this.oneStop(this.line); }
    this.line = line;
    if (line) this.oneStop(line, target);
  }

  // -- keys along a list -------------------------------------------------------------------------------------

  controls(line) { return [...line.querySelectorAll("input, select, button")].filter((each) => !each.disabled && each.closest("tr") === line); }

  // One stop for Tab a row, with arrows inside it; but a row that is typed in gives each of its fields a stop.
  oneStop(line, at) {
    const all = this.controls(line);
    const kept = at && all.includes(at) ? at : all.find((each) => each.tabIndex === 0) ?? all[0];
    for (const each of all) each.tabIndex = each === kept || (line.sbTyped && each.dataset.at) ? 0 : -1;
  }

  typedIn(target) {
    const line = target.closest?.("tr[data-entry]:not(.sb-more)");
    if (!line || line.sbTyped) return;
    line.sbTyped = true;
    this.oneStop(line, target);
  }

  along(event) {
    const { target, key } = event;
    const line = target.closest?.("tr[data-entry]:not(.sb-more)");
    if (!line || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || target.type === "date") return;
    const step = { ArrowLeft: -1, ArrowRight: 1 }[key];
    if (step) {
      const text = target.tagName === "INPUT";
      if (text && !(target.selectionStart === 0 && target.selectionEnd === target.value.length) &&
        (step < 0 ? target.selectionEnd > 0 : target.selectionStart < target.value.length)) return;
      const all = this.controls(line);
      this.stopAt(event, all[all.indexOf(target) + step]);
    } else if (key === "ArrowUp" || key === "ArrowDown") {
      const lines = [...line.parentElement.children].filter((each) => !each.classList.contains("sb-more"));
      const next = lines[lines.indexOf(line) + (key === "ArrowUp" ? -1 : 1)];
      const field = target.closest("td")?.dataset.field;
      this.stopAt(event, next && (field ? next.querySelector(`td[data-field="${field}"] [data-at]`) : next.querySelector(`[data-label="${target.dataset.label}"]:not(:disabled)`) ?? this.controls(next).at(-1)));
    }
  }

  stopAt(event, next) {
    event.preventDefault(); // a list would change its choice
    next?.focus();
    if (next?.tagName === "INPUT") next.select();
  }

  fit() {
    const bar = this.root.querySelector(".sb-bar");
    this.root.style.setProperty("--sb-bar", `${bar.offsetHeight + 8}px`);
    const was = this.main;
    if (this.root.clientWidth) this.arrange(this.root.clientWidth);
    if (this.main !== was) this.draw();
    else this.redrawByHand();
    if (!this.wanted || !this.root.clientWidth) return; // a page that is not shown yet takes no keyboard
    const wanted = this.wanted;
    this.wanted = "";
    this.reveal(wanted);
  }

  // On a wide screen the result stands beside the form; on others above it, folded to a line.
  arrange(width) {
    const wide = width >= BESIDE_FROM;
    if (this.root.classList.contains("sb-two") !== wide) this.beside.open = wide;
    this.root.classList.toggle("sb-two", wide);
    this.main = mainFields(wide ? width - Math.max(420, width * 0.34) - 16 : width);
  }

  madeBeside() {
    const page = el("div", { class: "sb-page sb-wide" });
    const chart = el("div", { class: "sb-page sb-chart" });
    const fold = el("details", { class: "sb-beside" },
      el("summary", {}, el("span", { class: "sb-about" }), el("span", { class: "sb-in-short" })),
      el("div", { tabindex: "0", role: "region", "aria-label": "Result beside the form", class: "sb-scrolled" },
        el("p", { class: "sb-tightest" }), el("div", { class: "sb-changed", role: "status" }), chart, page));
    fold.addEventListener("toggle", () => this.askChart());
    return fold;
  }

  tellBeside() {
    const { about, state, tightest, changed, more, sheet, chart } = this.model.get("beside");
    this.beside.hidden = !about;
    if (!about) return;
    const put = (part, ...inside) => this.beside.querySelector(part).replaceChildren(...inside);
    put(".sb-about", stateSign(state), ` ${about}`);
    put(".sb-in-short", tightest ? `. ${tightest}` : "");
    put(".sb-tightest", tightest ? `Tightest: ${tightest}` : "");
    put(".sb-changed", ...(changed.length ? ["Changed by the last edit:", el("ul", {}, ...changed.map(([name, was, now]) =>
      el("li", {}, `${name}: ${was} → `, el("strong", {}, now))), more ? el("li", {}, `and ${more} more`) : "")] : []));
    fill(this.beside.querySelector(".sb-page.sb-wide"), sheet);
    const drawn = this.beside.querySelector(".sb-chart");
    if (chart || this.drawnFor !== about) { drawn.innerHTML = chart; legible(drawn); }
    drawn.classList.toggle("sb-old", !chart);
    this.drawnFor = about;
    if (!chart) this.askChart();
  }

  askChart() {
    clearTimeout(this.charting);
    if (!this.beside.open || this.beside.hidden || this.model.get("beside").chart) return;
    this.charting = setTimeout(() => {
      if (this.queue.length || this.waiting) this.askChart();
      else this.send({ kind: "about", at: this.editing ?? "", chart: true });
    }, CHART_MS);
  }

  reveal(place) {
    for (const found of place.matchAll(/\[(\d+)\]/g)) {
      const entry = place.slice(0, found.index + found[0].length);
      this.opened.add(entry);
      this.folds.set(place.slice(0, found.index), true);
      const inner = this.model.get("spec").find((each) => each.recorded.list && entry.replace(/\[\d+\]$/, "") === each.at);
      if (inner) this.opened.add(this.recordOf(inner, entry));
    }
    const field = place.match(/^(.*\])\.\w+$/);
    if (field) this.folds.set(`${field[1]} rest`, true);
    this.draw();
    this.tell();
    const target = this.find(place) ?? this.root.querySelector(`[data-entry="${CSS.escape(place)}"] input`);
    target?.scrollIntoView({ block: "center" });
    target?.focus();
  }

  find(place) { return this.root.querySelector(`[data-at="${CSS.escape(place)}"]`); }

  // -- drawing -----------------------------------------------------------------------------------------------

  draw() {
    const held = document.activeElement?.dataset?.at, stop = document.activeElement?.dataset?.stop;
    const tool = (kind, text) => el("button", { type: "button", "data-tool": kind, onclick: () => this.send({ kind }) }, text, el("small", { class: "sb-what" }));
    const skip = el("button", { type: "button", class: "sb-skip", onclick: () => this.beside.querySelector("summary").focus() }, "Skip to the result");
    const bar = el("div", { class: "sb-bar" }, skip,
      el("strong", { class: "sb-job" }), tool("undo", "Undo"), tool("redo", "Redo"), tool("save", "Save"), tool("discard", "Discard"),
      el("span", { role: "status", class: "sb-status" }), el("span", { class: "sb-choices" }), el("ul", { class: "sb-both", "aria-label": "Places that two people changed" }),
      el("span", { role: "alert", class: "sb-lost" }), el("div", { class: "sb-stands" },
        el("div", { class: "sb-verdict", role: "status" }), el("details", { class: "sb-open", hidden: true }, el("summary"), el("ul"))));
    const mend = el("ul", { class: "sb-mend", "aria-label": "Entries to correct" });
    this.fixed ??= [bar, mend, this.body, this.beside]; // drawn once: a redraw takes no key away from under a finger
    this.drawing = true; // taking away an entry that has the keyboard makes it settle
    if (!this.body.isConnected) this.root.replaceChildren(...this.fixed);
    this.body.replaceChildren(...this.model.get("spec").filter((group) => !group.within.length && !group.recorded.list).map((group) => this.group(group)));
    this.drawing = false;
    this.drawn = this.shape();
    this.redrawByHand();
    this.tell();
    if (stop) this.root.querySelector(`[data-stop="${CSS.escape(stop)}"]`)?.focus();
    const wanted = this.awaited && (this.root.querySelector(this.awaited) ?? this.root.querySelector(this.otherwise));
    this.awaited = undefined;
    if (wanted) {
      wanted.focus();
      wanted.select?.(); // a name that was given to a new entry is there to be typed over
    }
    else if (held) this.find(held)?.focus();
  }

  group(group) {
    const box = el("fieldset", { class: group.list ? "sb-list" : "sb-group", "data-group": group.at },
      el("legend", {}, group.title));
    const fields = () => group.fields.map((field) => this.field(field, `${group.at}.${field.key}`));
    if (group.list) box.append(this.table(group, group.at));
    else if (this.isFurther(group)) box.append(this.fold(group.at, false, "Nothing entered", () => el("div", { class: "sb-group" }, ...fields())));
    else box.append(...fields());
    box.append(el("span", { class: "sb-said", "data-said": group.at }));
    return box;
  }

  // A table after the first list of a form is asked for by few: with nothing in it, it is folded.
  isFurther(group) {
    const spec = this.model.get("spec");
    const first = spec.findIndex((each) => each.list);
    return first >= 0 && spec.indexOf(group) > first && !group.fields.some((field) => this.values[`${group.at}.${field.key}`]);
  }

  // The record of an entry: its fields, those that its kind hardly uses behind a fold, and each list inside it.
  record(group, entry, fields) {
    const { shown, folded } = this.byKind(fields, entry);
    const draw = (some) => el("div", { class: "sb-group" }, ...some.map((field) => this.field(field, `${entry}.${field.key}`)));
    return [
      group.drawn ? this.byHand(entry) : "",
      group.at === "circuits" && this.model.get("spec").some((each) => each.at === "loads") ? el("div", { class: "sb-tools", "data-loads": entry }) : "",
      shown.length ? draw(shown) : "",
      ...this.recorded(group, entry),
      folded.length ? this.fold(`${entry} rest`, false, `More that can be entered (${folded.length})`, () => draw(folded)) : "",
      ...this.inside(group).map((inner) => {
        const place = `${entry}.${inner.at.split(".").at(-1)}`;
        const count = this.count(place);
        return this.fold(place, count > 0, `${inner.own} (${count || "none"})`,
          () => el("div", { class: "sb-list", "data-group": inner.at }, this.table(inner, place), el("span", { class: "sb-said", "data-said": place })));
      }),
    ];
  }

  // What names this entry as what it is for stands in its record: the run of a circuit.
  recorded(group, entry) {
    return this.model.get("spec").filter((inner) => inner.recorded.list === group.at).flatMap((inner) => {
      const found = this.those(inner).filter((each) => this.recordOf(inner, each) === entry);
      const fields = inner.fields.filter((field) => !inner.recorded.entered.includes(field.key));
      const one = inner.one.toLowerCase();
      if (!found.length)
        return [el("div", { class: "sb-tools" }, el("span", {}, `${inner.one}: none.`), el("button", { type: "button", onclick: () => {
          this.awaited = `[data-at="${inner.at}[${this.count(inner.at) + 1}].length_ft"]`;
          this.begunRow = `${inner.at}[${this.count(inner.at) + 1}]`;
          this.send({ kind: "its_run", at: entry });
        } }, `Enter its ${one}`))];
      return found.map((each) => el("div", { class: "sb-fold", "data-entry": each }, el("strong", {}, `${inner.one}: ${this.called(each)}`),
        ...this.record({ ...inner, drawn: false }, each, fields),
        el("div", { class: "sb-tools" }, el("button", { type: "button", onclick: () => this.send({ kind: "remove", at: inner.at, index: Number(each.match(/(\d+)\]$/)[1]) - 1 }) }, `Remove this ${one}`),
          el("span", { class: "sb-said", "data-said": each }))));
    });
  }

  those(group) { return Array.from({ length: this.count(group.at) }, (_, at) => `${group.at}[${at + 1}]`); }

  // The entry in whose record another stands: the one that it names, or the one with the load that it names.
  recordOf(inner, each) {
    const said = (key) => this.values[`${each}.${key}`];
    if (said("role") !== "branch" || said("status") === "removed") return undefined;
    const on = Array.from({ length: this.count("loads") }, (_, at) => `loads[${at + 1}]`).find((load) => this.values[`${load}.name`] === said(inner.recorded.by));
    const names = [said(inner.recorded.by), on && (this.values[`${on}.circuit`] || this.values[`${on}.name`])];
    return this.those({ at: inner.recorded.list }).find((entry) => names.includes(this.values[`${entry}.name`]));
  }

  // A drawing that is worked by hand, which follows the entries.
  byHand(entry) {
    const host = el("div", { class: "sb-by-hand", "data-drawing": entry });
    host.sbAsk = (message) => this.send({ visit: this.visit, ...message });
    host.sbNext = this.hands[entry] ??= {};
    if (!this.model.get("drawings")[entry]) this.send({ kind: "draw", at: entry });
    return host;
  }

  // The loads on a circuit, with the way to each, and those that could be put on it.
  drawLoads(host) {
    const name = this.values[`${host.dataset.loads}.name`];
    const all = Array.from({ length: this.count("loads") }, (_, at) => `loads[${at + 1}]`).map((at) => ({ at, name: this.values[`${at}.name`], circuit: this.values[`${at}.circuit`] }));
    const told = JSON.stringify([name, all]);
    if (told === host.sbTold) return;
    host.sbTold = told;
    const put = (at, text) => this.send({ kind: "set", at: `${at}.circuit`, text });
    const on = all.filter((each) => (each.circuit || each.name) === name);
    const pick = el("select", { onchange: () => { if (pick.value) put(pick.value, name); } });
    options(pick, [["", ""], ...all.filter((each) => !on.includes(each)).map((each) => [each.at, each.circuit ? `${each.name}, now on ${each.circuit}` : each.name])], "");
    host.replaceChildren(el("strong", {}, "Loads on it:"), ...(on.length ? on.map((each) => el("span", {},
      el("button", { type: "button", class: "sb-link", onclick: () => this.reveal(each.at) }, each.name), " ",
      each.circuit ? el("button", { type: "button", "aria-label": `Take ${each.name} off ${name}`, onclick: () => put(each.at, "") }, "Take off") : "")) : ["none"]),
    labelled("Put on it", pick));
  }

  redrawByHand() {
    for (const host of this.root.querySelectorAll("[data-loads]")) this.drawLoads(host);
    for (const host of this.root.querySelectorAll("[data-drawing]")) {
      const drawing = this.model.get("drawings")[host.dataset.drawing];
      if (drawing) drawByHand(host, drawing);
    }
  }

  inside(group) {
    return this.model.get("spec").filter((inner) => inner.at.startsWith(`${group.at}.`) && !inner.at.slice(group.at.length + 1).includes("."));
  }

  // What is entered or means something for the kind stands open, the first of it in the order of the form; the rest is folded.
  byKind(fields, entry) {
    const said = (key) => this.values[`${entry}.${key}`] || this.count(`${entry}.${key}`);
    const fits = (field) => (!field.needs || said(field.needs)) && Object.entries(field.only).every(([key, kinds]) => kinds.includes(this.values[`${entry}.${key}`]));
    const shown = [], folded = [];
    let blank = 0;
    for (const field of fields) {
      const open = said(field.key) || field.required || (fits(field) && ++blank <= BLANK_SHOWN);
      if (open) shown.push(field);
      else if (fits(field) || !field.strict) folded.push(field);
    }
    return { shown, folded };
  }

  fold(key, open, title, draw) {
    const inside = el("div");
    const made = el("details", { class: "sb-fold", "data-fold": key }, el("summary", {}, title), inside);
    made.open = this.folds.get(key) ?? open;
    const fill = () => { if (made.open && !inside.childNodes.length) { inside.append(draw()); if (this.drawn) this.tell(); } };
    fill();
    made.addEventListener("toggle", () => { this.folds.set(key, made.open); fill(); });
    return made;
  }

  field(field, at) {
    const made = this.control(field, at);
    return el("div", { class: "sb-field" },
      el("label", { for: made.input.id }, field.label, field.required ? el("em", {}, " (needed)") : ""),
      el("span", { class: "sb-in" }, made.input, field.unit ? el("span", { class: "sb-unit" }, field.unit) : ""),
      el("span", { class: "sb-help", id: made.helpId }, field.help), made.said);
  }

  control(field, at, labelledBy) {
    const id = fresh("in");
    const helpId = labelledBy ? undefined : `${id}-help`;
    const common = {
      id, "data-at": at, "aria-labelledby": labelledBy, "aria-required": field.required && "true",
      "aria-describedby": [helpId, `${id}-said`].filter(Boolean).join(" "),
    };
    const input = field.choices.length ? this.select(field, at, common) : this.entry(field, at, common);
    this.put(input, this.values[at] ?? "");
    return { input, helpId, said: el("span", { id: `${id}-said`, class: "sb-said", "data-said": at }) };
  }

  select(field, at, common) {
    const input = el("select", { ...common, onchange: () => this.send({ kind: "set", at, text: input.value }) });
    const blank = field.standard ? `(${spaced(field.standard)})` : field.required ? "choose" : "";
    options(input, [["", blank], ...field.choices.map((choice) => [choice, spaced(choice)])], "");
    return input;
  }

  entry(field, at, common) {
    const labelledBy = common["aria-labelledby"];
    const input = el("input", {
      ...common, type: field.type, size: field.number ? "7" : "18", inputmode: field.number ? "decimal" : undefined, autocomplete: "off",
      spellcheck: "false", placeholder: field.standard ? (labelledBy ? `(${field.standard})` : `${field.standard} if empty`) : undefined,
      list: field.names.length || field.suggest ? fresh("names") : undefined,
    });
    let timer;
    const settle = () => {
      clearTimeout(timer);
      input.sbTyping = false;
      if (input.value !== input.sbSent) { input.sbSent = input.value; this.send({ kind: "set", at, text: input.value, visit: this.visit }); }
      else if (!this.drawing) this.tell();
    };
    input.addEventListener("input", () => {
      clearTimeout(timer);
      input.sbTyping = true;
      if (plausible(field, input.value)) settle();
      else if (!(field.number && begun(input.value))) timer = setTimeout(settle, TYPING_MS);
    });
    input.addEventListener("change", () => { settle(); this.visit += 1; });
    if (field.names.length || field.suggest)
      for (const kind of field.many ? ["focus", "input"] : ["focus"]) input.addEventListener(kind, () => this.suggest(field, at, input));
    return input;
  }

  // The names that an entry may refer to are looked up when it is entered: they may have changed since it was drawn.
  suggest(field, at, input) {
    const known = this.model.get("names");
    const lists = field.names.map((list) => (list.startsWith(".") ? at.replace(/\.\w+\[\d+\]\.\w+$/, list) : list));
    this.root.querySelector("datalist")?.remove();
    const list = el("datalist", { id: input.getAttribute("list") });
    const before = field.many ? input.value.match(/^(.*,\s*)?/)[0] : ""; // of a list what is being typed is its last
    const suggested = [...lists.flatMap((name) => known[name] ?? []), ...(this.model.get("lists")[field.suggest] ?? [])];
    options(list, [...new Set(suggested)].map((name) => [before + name, ""]));
    this.root.append(list);
  }

  put(input, text) {
    if (input.tagName === "SELECT" && ![...input.options].some((option) => option.value === text))
      input.append(el("option", { value: text }, text));
    if (input.value !== text) input.value = text;
    input.sbSent = text;
  }

  // -- lists -------------------------------------------------------------------------------------------------

  table(group, place) {
    const main = group.fields.slice(0, this.main);
    const heads = main.map((field) => {
      const id = fresh("head");
      return [id, el("th", { id, scope: "col", title: field.help }, field.unit ? `${field.label}, ${field.unit}` : field.label)];
    });
    const body = el("tbody");
    const none = !this.count(place);
    for (let row = 0; row < this.count(place); row++)
      body.append(...this.row(group, place, row, main, heads.map(([id]) => id)));
    const add = el("button", { type: "button", class: "sb-add", onclick: () => {
      this.awaited = `[data-entry="${CSS.escape(`${place}[${this.count(place) + 1}]`)}"] [data-at]`;
      this.begunRow = `${place}[${this.count(place) + 1}]`;
      this.send({ kind: "add", at: place });
    } }, `Add ${group.one.toLowerCase()}`);
    const paste = el("textarea", { rows: "1", "aria-label": `Paste rows from a spreadsheet into ${group.title.toLowerCase()}`, placeholder: "Paste rows from a spreadsheet here" });
    const take = (text) => { if (text.trim()) this.send({ kind: "paste", at: place, text }); paste.value = ""; };
    paste.addEventListener("paste", (event) => { event.preventDefault(); take(event.clipboardData.getData("text/plain")); });
    paste.addEventListener("change", () => take(paste.value));
    return el("div", {}, el("div", { class: "sb-scroll", hidden: none, tabindex: "0", role: "region", "aria-label": `${group.title}; arrow keys go from cell to cell` },
      el("table", {}, el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "No."), ...heads.map(([, head]) => head),
        el("th", { scope: "col" }, "Row"))), body)),
      el("div", { class: "sb-tools" }, add, paste));
  }

  row(group, place, row, main, heads) {
    const entry = `${place}[${row + 1}]`;
    const rowId = fresh("row");
    const cells = main.map((field, at) => {
      const made = this.control(field, `${entry}.${field.key}`, `${rowId} ${heads[at]}`);
      return el("td", { "data-field": field.key, "data-head": field.unit ? `${field.label}, ${field.unit}` : field.label }, made.input, made.said);
    });
    const count = this.count(place);
    const button = (text, kind, label, off, more = {}) => el("button", {
      type: "button", title: label, "data-label": label, disabled: off, "data-act": kind,
      onclick: () => { this.after(kind, label, place, row, more); this.send({ kind, at: place, index: row, ...more }); },
    }, text);
    const line = el("tr", { "data-entry": entry }, el("th", { id: rowId, scope: "row" }, `${row + 1}`), ...cells,
      el("td", { class: "sb-row" },
        button("▲", "move", "Move up", row === 0, { to: row - 1 }), button("▼", "move", "Move down", row === count - 1, { to: row + 1 }),
        button("Copy", "copy", "Copy", false), button("Remove", "remove", "Remove", false)));
    const rest = group.fields.slice(this.main);
    const named = () => line.querySelectorAll("[data-label]").forEach((each) => this.label(each, entry));
    named();
    const said = el("span", { class: "sb-said", "data-said": entry });
    line.querySelector(".sb-row").append(said);
    line.sbTyped = this.begunRow === entry;
    this.oneStop(line);
    if (!rest.length && !this.inside(group).length) return [line];
    const opens = this.opened.has(entry);
    const more = el("button", { type: "button", "aria-expanded": String(opens), "data-act": "more", "data-label": "More" });
    said.before(more);
    named();
    const under = el("tr", { class: "sb-more", "data-entry": entry });
    const fill = () => {
      const { at: held, stop } = under.contains(document.activeElement) ? document.activeElement.dataset : {};
      under.sbKind = this.kindOf(rest, entry);
      under.replaceChildren(el("td", { colspan: main.length + 2 }, ...this.record(group, entry, rest)));
      if (under.isConnected) this.redrawByHand();
      if (held) this.find(held)?.focus();
      if (stop) under.querySelector(`[data-stop="${CSS.escape(stop)}"]`)?.focus();
    };
    under.sbFit = () => { // another kind shows other fields
      more.textContent = this.moreOf(group, rest, entry);
      if (!under.hidden && under.sbKind !== this.kindOf(rest, entry)) fill();
    };
    if (opens) fill(); else under.hidden = true;
    under.sbFit();
    more.addEventListener("click", () => {
      if (this.opened.delete(entry)) under.replaceChildren(); else { this.opened.add(entry); fill(); }
      under.hidden = !this.opened.has(entry);
      more.setAttribute("aria-expanded", String(!under.hidden));
      this.tell();
    });
    this.oneStop(line);
    return [line, under];
  }

  // What decides which fields stand open: not what is typed into one of them, or it would be drawn anew under the hand.
  kindOf(rest, entry) {
    return rest.map((field) => [!field.needs || Boolean(this.values[`${entry}.${field.needs}`] || this.count(`${entry}.${field.needs}`)),
      ...Object.keys(field.only).map((key) => this.values[`${entry}.${key}`])].join()).join(";");
  }

  moreOf(group, rest, entry) {
    const set = rest.filter((field) => this.values[`${entry}.${field.key}`]).length +
      this.inside(group).filter((inner) => this.count(`${entry}.${inner.at.split(".").at(-1)}`)).length;
    return set ? `More (${set})` : "More";
  }

  // Where the keyboard stands once a list was changed: on the entry that was moved or made, or on the one that followed.
  after(kind, label, place, row, more) {
    const to = kind === "move" ? more.to : kind === "copy" ? row + 1 : Math.min(row, this.count(place) - 2);
    const entry = `[data-entry="${CSS.escape(`${place}[${to + 1}]`)}"]`;
    this.awaited = kind === "copy" ? `${entry} [data-at]` : `${entry} [data-label="${label}"]:not(:disabled)`;
    this.otherwise = kind === "move" ? `${entry} [data-act="move"]:not(:disabled)` : `[data-group="${place.replace(/\[\d+\]/g, "")}"] .sb-add`;
    if (kind === "move") this.drawn = "";
    if (kind !== "copy") for (const each of this.opened) if (each.startsWith(`${place}[`)) this.opened.delete(each);
  }

  // -- telling -----------------------------------------------------------------------------------------------

  refill() {
    for (const input of this.root.querySelectorAll("[data-at]")) {
      const text = this.values[input.dataset.at] ?? "";
      if (input.sbSent === text || (document.activeElement === input && input.tagName === "INPUT")) continue;
      this.put(input, text);
    }
    for (const under of this.root.querySelectorAll("tr.sb-more")) under.sbFit();
    for (const row of this.root.querySelectorAll("tr[data-entry]"))
      for (const button of row.querySelectorAll("[data-label]"))
        this.label(button, row.dataset.entry);
  }

  label(button, entry) {
    const text = `${button.dataset.label}: ${this.called(entry)}`;
    if (button.getAttribute("aria-label") !== text) button.setAttribute("aria-label", text);
  }

  tell() {
    // A row that was just made is not wrong before it is left.
    const all = Object.entries(this.model.get("problems"));
    const problems = Object.fromEntries(all.filter(([place]) => !this.begunRow || !place.startsWith(this.begunRow)));
    const waiting = all.length - Object.keys(problems).length;
    for (const said of this.root.querySelectorAll("[data-said]")) {
      const input = this.find(said.dataset.said);
      if (input?.sbTyping && document.activeElement === input) continue;
      const text = problems[said.dataset.said] ?? "";
      if (said.textContent !== text) said.textContent = text;
      if (input) text ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
    }
    const state = this.model.get("state");
    const put = (part, text) => { const node = this.root.querySelector(part); if (node.textContent !== text) node.textContent = text; };
    put(".sb-job", `${state.job}:`);
    this.root.querySelector(".sb-job").title = state.file;
    const amiss = state.wrong - waiting;
    const wrong = waiting && !amiss ? "Fill in the new row; what follows is without it." : amiss ? `${amiss} ${amiss === 1 ? "entry" : "entries"} to correct; what follows shows the last good ones.` : "";
    put(".sb-status", [this.note, state.said, wrong, 
      !state.dirty ? "Nothing unsaved." : state.kept ? `Unsaved changes; draft kept ${state.kept}.`
        : "Unsaved changes, and no draft of them: the folder of the job can't be written. Save, or copy what you need."].filter(Boolean).join(" "));
    this.tellStands(state.stands, state.wrong > 0);
    put('[data-tool="undo"] .sb-what', state.undoes ? ` ${state.undoes}` : "");
    this.root.querySelector('[data-tool="undo"]').title = state.undoes ? `Take back: ${state.undoes}` : "";
    this.root.querySelector('[data-tool="discard"]').title = state.dirty ? "Go back to what was saved; Undo brings the entries here back" : "";
    this.root.querySelector('[data-tool="save"]').title = amiss ? "Wrong entries can't be saved; the draft keeps them." : "";
    state.discard = state.dirty;
    for (const name of ["undo", "redo", "save", "discard"]) this.root.querySelector(`[data-tool="${name}"]`).disabled = !state[name];
    const told = JSON.stringify([state.choices, state.conflicts, problems, state.elsewhere]);
    if (told === this.told) return;
    this.told = told;
    this.root.querySelector(".sb-choices").replaceChildren(...state.choices.map(([kind, text]) =>
      el("button", { type: "button", onclick: () => this.send({ kind }) }, text)));
    const choice = (kind, at, text) => el("button", { type: "button", onclick: () => this.send({ kind, at }) }, text);
    this.root.querySelector(".sb-both").replaceChildren(...state.conflicts.map(([at, name, mine, theirs]) =>
      el("li", {}, `${name}: `, choice("mine", at, `Keep ${mine}`), " ", choice("theirs", at, `Take ${theirs}, as the file says`))));
    const listed = Object.entries(problems).slice(0, PROBLEMS_LISTED).map(([place, text]) =>
      el("li", {}, el("button", { type: "button", class: "sb-link", onclick: () => this.reveal(place) }, this.spoken(place)), ` ${text}`));
    const more = Object.keys(problems).length - listed.length;
    this.root.querySelector(".sb-mend").replaceChildren(...listed, ...state.elsewhere.map((text) => el("li", {}, text)),
      ...(more > 0 ? [el("li", {}, `and ${more} more`)] : []));
  }

  // The verdict of the page: its state by word and shape, how many of each, and behind a fold each thing that does not pass.
  tellStands(stands, wrong) {
    const told = JSON.stringify([stands, wrong]);
    if (told === this.toldStands) return;
    this.toldStands = told;
    this.root.querySelector(".sb-verdict").replaceChildren(...(stands.state ? [stateSign(stands.state), " "] : []), `${wrong ? "With the last good entries: " : ""}${stands.said}`);
    const fold = this.root.querySelector(".sb-open");
    fold.hidden = !stands.open.length;
    fold.querySelector("summary").textContent = `What does not pass (${stands.open.length})`;
    fold.querySelector("ul").replaceChildren(...stands.open.map((each) => {
      const words = `${each.about}: ${each.what}`;
      return el("li", {}, stateSign(each.state), " ",
        each.at ? el("button", { type: "button", class: "sb-link", onclick: () => { fold.open = false; this.reveal(each.at); } }, words) : words);
    }));
  }

  spoken(place) {
    const entry = place.match(/^(.*\])\.?(\w*)$/);
    const at = place.replace(/\[\d+\]/g, "");
    const group = this.model.get("spec").find((g) => g.at === at.replace(/\.\w+$/, ""));
    const field = group?.fields.find((f) => f.key === at.split(".").at(-1));
    const outer = entry?.[1].match(/^(.*\])\.\w+\[\d+\]$/)?.[1]; // the box of a device
    return [outer ? this.called(outer) : "", entry ? this.called(entry[1]) : "", field?.label ?? (entry ? "" : at)].filter(Boolean).join(", ");
  }
}

// A number within its limits is meant as it stands; a first digit is not, and nor is text in the middle of a word.
function plausible(field, text) {
  const number = Number(text.replaceAll(",", ""));
  return field.number && text.trim() !== "" && Number.isFinite(number) &&
    number >= (field.least ?? -Infinity) && number <= (field.most ?? Infinity);
}

// What may be the beginning of a number is no mistake while a person is in the middle of it.
const begun = (text) => /^[-+]?[\d,]*\.?\d*$/.test(text.trim());

export default {
  render({ model, el: root }) {
    const page = new Page(model, root);
    fromTheTop();
    return () => page.end();
  },
};
