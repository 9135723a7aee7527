// A learner's paper: what is answered, and which hints were looked at.
(() => {
  const { told, byId, all, now, minute } = phone;
  const KEY = `studbay-practice-${told.set}-${told.learner}`;
  const store = phone.store(KEY, () => ({ sent: "", changed: "", answers: {}, hints: {} }));
  let state = store.read();
  const fields = all("[data-head]");

  function keep() {
    state.changed = now();
    store.write(state);
    tell("");
    count();
  }

  function tell(text) {
    byId("said").textContent = text;
  }

  const isFilled = (field) => Boolean((state.answers[field.dataset.head] || "").trim());

  function count() {
    const stands = state.changed > state.sent ? "not sent yet" : state.sent ? `sent ${minute(state.sent)}` : "";
    byId("unsent").textContent = [`${fields.filter(isFilled).length} of ${fields.length} answered`, stands].filter(Boolean).join(", ");
    byId("keeps").hidden = store.keeps;
  }

  for (const field of fields) {
    field.addEventListener("input", () => {
      state.answers[field.dataset.head] = field.value;
      keep();
    });
  }

  function showHints(box) {
    const head = box.dataset.hints;
    const used = state.hints[head] || 0;
    const button = box.querySelector("button");
    button.hidden = used >= told.hints[head].length;
    button.textContent = button.hidden ? "" : `${told.buttons[used]} (costs ${told.costs[used]})`;
    box.querySelector("ul").replaceChildren(
      ...told.hints[head].slice(0, used).map((text) => {
        const line = document.createElement("li");
        line.textContent = text;
        line.dir = "auto";
        return line;
      }),
    );
  }

  for (const box of all("[data-hints]")) {
    box.querySelector("button").addEventListener("click", () => {
      state.hints[box.dataset.hints] = (state.hints[box.dataset.hints] || 0) + 1;
      keep();
      showHints(box);
    });
  }

  byId("send").addEventListener("click", async () => {
    const answers = Object.fromEntries(fields.filter(isFilled).map((field) => [field.dataset.head, field.value.trim()]));
    if (!Object.keys(answers).length) return tell("Nothing is answered yet.");
    const back = { schema_version: 1, what: told.what, set: told.set, learner: told.learner, made: now(), answers, hints: state.hints };
    const how = await phone.handOver(back, ["answers", told.set, told.name], "your teacher");
    if (!how) return tell("Not sent.");
    state.sent = now();
    store.write(state);
    count();
    return tell(how);
  });

  addEventListener("beforeunload", (event) => {
    if (!store.keeps && state.changed > state.sent) event.preventDefault();
  });
  addEventListener("storage", (event) => {
    if (event.key === KEY) { // the same page in another tab
      state = store.read();
      draw();
    }
  });

  function draw() {
    for (const field of fields) {
      if (document.activeElement !== field) field.value = state.answers[field.dataset.head] || "";
    }
    all("[data-hints]").forEach(showHints);
    count();
  }

  draw();
})();
