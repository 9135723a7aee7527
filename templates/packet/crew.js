// The crew's page: what is ticked, read and noted.
(() => {
  const { told, byId, all, now, minute } = phone;
  const KEY = `studbay-crew-${told.fingerprint}`;
  const SAID = { right: "Right", wrong: "Not right", corrected: "Corrected" };
  const SIGN = { right: "✓", wrong: "✗", corrected: "✓" };
  const empty = () => ({ who: "", sent: "", answers: {}, torque: {}, readings: [], found: [] });

  // -- what is kept -----------------------------------------------------------------------------------------------
  const store = phone.store(KEY, empty);
  let state = store.read();

  function keep() {
    store.write(state);
    tell("");
    count();
  }

  const signed = (entry) => ({ ...entry, who: state.who, when: now() });
  const whoWhen = (entry) => [entry.who || state.who, minute(entry.when)].filter(Boolean).join(", ");

  const number = (text) => text.trim().replace(",", ".").match(/^\d{1,6}(\.\d{1,5})?$/)?.[0] || "";

  // -- answers ----------------------------------------------------------------------------------------------------
  const items = all(".item[data-id]");
  const rows = all(".item[data-torque]");
  const everything = all(".item");
  const places = new Map(everything.map((item) => [item, JSON.parse(item.dataset.places)]));
  const isOpen = (item) => ["open", "wrong"].includes(item.dataset.state);

  function standing(item) {
    return state.answers[item.dataset.id]?.say || (item.dataset.before === "right" ? "right" : "");
  }

  function show(item) {
    const answer = state.answers[item.dataset.id];
    const say = standing(item);
    item.dataset.state = say || "open";
    item.querySelector(".sign").textContent = SIGN[say] || "☐";
    item.querySelector(".stands").textContent = answer?.say ? `${SAID[say]}: ${whoWhen(answer)}` : item.dataset.said || "Open";
    for (const button of all("[data-say]", item)) button.setAttribute("aria-pressed", String(answer?.say === button.dataset.say));
    const note = item.querySelector("textarea");
    if (document.activeElement !== note) note.value = answer?.note || "";
    const open = say === "wrong" || Boolean(answer?.note) || item.dataset.noting === "yes";
    item.querySelector(".note").hidden = !open;
    item.querySelector("[data-note]").setAttribute("aria-expanded", String(open));
  }

  function say(item, word) {
    const id = item.dataset.id;
    const before = state.answers[id] || {};
    const { note = "", was } = before;
    const isFound = before.say === "wrong" && (note || (state.sent && before.when <= state.sent)); // no slip of the finger
    const found = isFound ? { who: before.who, when: before.when, note } : was;
    if (before.say === word) {
      state.answers[id] = signed({ say: "", note, was });
    } else if (word === "wrong") {
      state.answers[id] = signed({ say: word, note: note || was?.note || "" });
    } else {
      state.answers[id] = signed({ say: word, note: isFound ? "" : note, was: found });
    }
    show(item);
    keep();
  }

  for (const item of items) {
    item.addEventListener("click", (event) => {
      const button = event.target.closest("button");
      if (button?.dataset.say) say(item, button.dataset.say);
      if (button && "note" in button.dataset) {
        item.dataset.noting = item.querySelector(".note").hidden ? "yes" : "no";
        show(item);
        if (item.dataset.noting === "yes") item.querySelector("textarea").focus();
      }
    });
    item.querySelector("textarea").addEventListener("input", (event) => {
      const id = item.dataset.id;
      state.answers[id] = signed({ ...(state.answers[id] || { say: "" }), note: event.target.value });
      keep();
    });
    item.querySelector("textarea").addEventListener("blur", () => show(item));
  }

  // -- readings and what else is found ----------------------------------------------------------------------------
  for (const row of rows) {
    const id = row.dataset.torque;
    row.addEventListener("input", () => {
      const field = (name) => row.querySelector(`[name=${name}]`).value.trim();
      state.torque[id] = signed({ label: field("label"), set: field("set"), unit: field("unit"), tool: field("tool") });
      if (field("tool")) state.tool = field("tool");
      showTorque(row);
      keep();
    });
  }

  function showTorque(row) {
    const entry = state.torque[row.dataset.torque];
    const wrong = [entry?.set, entry?.label].some((text) => text && !number(text));
    const done = Boolean(entry?.set) && !wrong;
    const before = !entry?.set && row.dataset.said; // set on an earlier walk
    row.dataset.state = done || before ? "right" : "open";
    row.querySelector(".sign").textContent = done || before ? "✓" : "☐";
    row.querySelector(".stands").textContent = wrong ? "Give the torque as a number, such as 250." : done ? `Set: ${whoWhen(entry)}` : before || "Open";
    for (const name of ["label", "set", "unit", "tool"]) {
      const field = row.querySelector(`[name=${name}]`);
      if (document.activeElement !== field) field.value = entry?.[name] || (name === "unit" ? "lb-in" : name === "tool" ? state.tool || "" : "");
    }
  }

  function listed(form, list, words) {
    const shown = form.querySelector("ul");
    shown.replaceChildren(
      ...list().map((entry) => {
        const line = document.createElement("li");
        const said = document.createElement("p");
        said.textContent = `${words(entry)} (${whoWhen(entry)})`;
        said.dir = "auto";
        const gone = document.createElement("button");
        gone.type = "button";
        gone.textContent = "Take out";
        gone.setAttribute("aria-label", `Take out: ${words(entry)}`);
        gone.addEventListener("click", () => {
          list().splice(list().indexOf(entry), 1);
          listed(form, list, words);
          keep();
        });
        line.append(said, gone);
        return line;
      }),
    );
  }

  function adding(form, list, words, entryOf) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const entry = entryOf(new FormData(form));
      if (!entry) return;
      list().push(signed(entry));
      for (const field of all("textarea, input", form)) field.value = "";
      listed(form, list, words);
      keep();
    });
  }

  const reading = byId("reading");
  const readingWords = (r) => `${r.place}: ${[r.quantity, r.of].filter(Boolean).join(", ")}: ${r.value} ${r.unit}`;
  adding(reading, () => state.readings, readingWords, (given) => {
    const [quantity, unit] = given.get("quantity").split("|");
    const value = number(given.get("value"));
    byId("reading-wrong").textContent = value ? "" : "Give the reading as a number, such as 550 or 0.4.";
    return value ? { quantity, unit, place: given.get("place"), of: given.get("of").trim(), value } : null;
  });
  const found = byId("found");
  const foundWords = (f) => `${f.place}: ${f.text}`;
  adding(found, () => state.found, foundWords, (given) => {
    const text = given.get("text").trim();
    return text ? { stage: given.get("stage"), place: given.get("place"), text } : null;
  });

  // -- what is looked at ------------------------------------------------------------------------------------------
  const stage = byId("stage");
  const place = byId("place");
  const parts = all("main > section[data-stage]");
  const within = (item, name) => !name || places.get(item).includes(name);

  function look() {
    const hidesDone = byId("only").checked;
    for (const part of parts) {
      for (const group of all(".group", part)) {
        const shown = all(".item", group).filter((item) => {
          item.hidden = !within(item, place.value) || (hidesDone && !isOpen(item));
          return !item.hidden;
        });
        group.hidden = !shown.length;
      }
      const wanted = !stage.value || part.dataset.stage === stage.value;
      part.hidden = !wanted || !("free" in part.dataset || part.querySelector(".group:not([hidden])"));
    }
    byId("nothing").hidden = parts.some((part) => !part.hidden);
    count();
  }

  function count() {
    const open = everything.filter(isOpen);
    byId("count").textContent = `${open.filter((item) => !item.closest("[hidden]")).length} open here, ${open.length} in all`;
    const chosen = (item) => !stage.value || item.closest("[data-stage]").dataset.stage === stage.value;
    const counted = (option, number) => {
      option.textContent = `${option.dataset.name} (${number})`;
    };
    for (const option of stage.options) {
      const part = parts.find((each) => each.dataset.stage === option.value);
      if (!part || part.querySelector(".item")) counted(option, open.filter((item) => (!part || part.contains(item)) && within(item, place.value)).length);
    }
    for (const option of place.options) counted(option, open.filter((item) => chosen(item) && within(item, option.value)).length);
    for (const group of all(".group")) {
      const inside = all(".item", group);
      group.querySelector(".open").textContent = `${inside.filter(isOpen).length} of ${inside.length} open`;
    }
    const fresh = entries().filter((entry) => entry.when > state.sent).length;
    byId("unsent").textContent = fresh ? `${fresh} not sent yet` : state.sent ? `All sent, ${minute(state.sent)}` : "Nothing to send yet";
    byId("keeps").hidden = store.keeps;
  }

  for (const chosen of [stage, place]) {
    chosen.addEventListener("change", () => {
      Object.assign(state, { stage: stage.value, place: place.value });
      keep();
      look();
      scrollTo(0, 0);
    });
  }
  byId("only").addEventListener("change", look);

  // -- drawings ---------------------------------------------------------------------------------------------------
  for (const button of all("[data-drawing]")) {
    button.addEventListener("click", () => byId(button.dataset.drawing).showModal());
  }
  for (const dialog of all("dialog")) {
    dialog.querySelector(".close").addEventListener("click", () => dialog.close());
    dialog.querySelector(".size")?.addEventListener("click", (event) => {
      event.target.setAttribute("aria-pressed", String(dialog.classList.toggle("whole")));
    });
  }

  // -- sending back -----------------------------------------------------------------------------------------------
  function entries() {
    const made = [];
    const of = (entry, more) => {
      const said = Object.entries({ ...more, who: entry.who || state.who, when: entry.when });
      made.push(Object.fromEntries(said.filter(([, value]) => value !== "" && value !== undefined)));
    };
    for (const item of items) {
      const id = item.dataset.id;
      const answer = state.answers[id];
      if (!answer) continue;
      const asked = told.items[id];
      const { was } = answer;
      const closed = answer.say === "right" ? { closed_by: answer.who || state.who, closed_on: answer.when.slice(0, 10) } : {};
      if (was && answer.say !== "wrong") of(was, { ...asked, kind: "wrong", text: was.note.trim(), ...closed });
      if (answer.say) of(answer, { ...asked, kind: answer.say, text: answer.note.trim() });
      else if (answer.note?.trim()) of(answer, { ...asked, kind: "note", text: answer.note.trim() });
    }
    for (const row of rows) {
      const entry = state.torque[row.dataset.torque];
      if (!entry?.set || row.dataset.state === "open") continue;
      of(entry, { ...told.items[row.dataset.torque], kind: "reading", quantity: "torque", value: number(entry.set), unit: entry.unit, label: number(entry.label), tool: entry.tool });
    }
    for (const entry of state.readings) of(entry, { kind: "reading", place: entry.place, of: entry.of, quantity: entry.quantity, value: entry.value, unit: entry.unit });
    for (const entry of state.found) of(entry, { kind: "note", stage: entry.stage, place: entry.place, text: entry.text });
    return made;
  }

  function tell(text) {
    byId("said").textContent = text;
  }

  async function send() {
    if (!state.who.trim()) {
      tell("Say who you are first.");
      byId("who").scrollIntoView({ block: "center" });
      byId("who").focus();
      return;
    }
    const made = entries();
    if (!made.length) return tell("Nothing is ticked, read or noted yet.");
    const back = { schema_version: 1, what: "sent back", job: told.job, address: told.address,
      fingerprint: told.fingerprint, made: now(), entries: made };
    const how = await phone.handOver(back, ["back", told.job, state.who], "the office");
    if (how) sent(how);
    else tell("Not sent.");
  }

  function sent(text) {
    state.sent = now();
    keep();
    tell(text);
  }

  byId("send").addEventListener("click", send);
  byId("who").addEventListener("input", (event) => {
    state.who = event.target.value.trim();
    keep();
  });
  byId("who").addEventListener("change", () => {
    byId("how").hidden = Boolean(state.who);
  });
  addEventListener("beforeunload", (event) => {
    if (!store.keeps && entries().some((entry) => entry.when > state.sent)) event.preventDefault();
  });
  addEventListener("storage", (event) => {
    if (event.key === KEY) { // the same page in another tab
      state = store.read();
      draw();
    }
  });

  function draw() {
    if (document.activeElement !== byId("who")) byId("who").value = state.who;
    byId("how").hidden = Boolean(state.who);
    for (const [chosen, value] of [[stage, state.stage ?? stage.options[1].value], [place, state.place ?? ""]]) {
      if ([...chosen.options].some((option) => option.value === value)) chosen.value = value;
    }
    items.forEach(show);
    rows.forEach(showTorque);
    listed(reading, () => state.readings, readingWords);
    listed(found, () => state.found, foundWords);
    look();
  }

  draw();
})();
