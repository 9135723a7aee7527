// One question as a small form: the answer as it is typed, its sheet beneath it. Python asks it as the command does.

const PAUSE_MS = 250; // a pause after which what was typed is asked

export default {
  render({ model, el: root }) {
    begin(root, "quick");
    const question = el("select", { onchange: () => send({ kind: "choose", question: question.value }) });
    options(question, model.get("questions"), model.get("asked").name);
    const fields = el("div", { class: "sb-quick-fields" });
    const answer = el("div", { class: "sb-quick-answer", role: "status", "aria-live": "polite" });
    const beside = el("div", { class: "sb-quick-beside" });
    const job = el("select");
    const name = el("input", { type: "text", maxlength: "80", autocomplete: "off" });
    const put = el("button", { type: "button", onclick: () => send({ kind: "put", job: job.value, name: name.value }) }, "Put it in the job");
    const said = el("p", { role: "status", class: "sb-quick-said" });
    const into = el("div", { class: "sb-quick-into" }, labelled("Job", job), labelled("Name", name), put, said);
    root.replaceChildren(el("div", { class: "sb-quick-ask" }, labelled("Question", question)), answer, fields, beside, into);
    options(job, model.get("jobs").map((each) => [each, each]), "");

    let waiting = false;
    let wanted = null;
    let timer = 0;
    const send = (message) => {
      clearTimeout(timer);
      wanted = message;
      if (waiting) return;
      waiting = true;
      model.send(wanted);
      wanted = null;
    };
    const values = () => Object.fromEntries([...fields.querySelectorAll("[data-entry]")].map((each) => [each.dataset.entry, each.value]));
    const typed = () => {
      clearTimeout(timer);
      timer = setTimeout(() => send({ kind: "fill", question: question.value, values: values() }), PAUSE_MS);
    };
    const control = (field, text) => {
      const id = fresh("quick");
      const input = field.choices.length
        ? el("select", { id, "data-entry": field.name, onchange: typed })
        : el("input", { id, "data-entry": field.name, type: "text", autocomplete: "off", oninput: typed });
      if (field.choices.length) options(input, [["", "–"], ...field.choices.map((each) => [each, each])], text);
      else input.value = text;
      if (field.choices.length && text && input.value !== text) {
        const alike = field.choices.find((each) => each.toLowerCase() === text.toLowerCase());
        if (alike) input.value = alike;
      }
      return el("div", { class: "sb-field" }, el("label", { for: id }, field.label, field.unit ? el("em", {}, `, ${field.unit}`) : ""), input,
        field.like ? el("span", { class: "sb-help" }, `such as ${field.like}`) : "",
        field.hint ? el("span", { class: "sb-help" }, `left out: ${field.hint}`) : "");
    };
    let drawn = "";
    const draw = () => {
      const asked = model.get("asked");
      if (asked.name === drawn) return;
      drawn = asked.name;
      question.value = asked.name;
      const given = model.get("answer").values ?? {};
      const made = asked.fields.map((field) => [field, control(field, given[field.name] ?? "")]);
      const first = made.filter(([field], number) => number < asked.main || given[field.name]).map(([, node]) => node);
      const rest = made.map(([, node]) => node).filter((node) => !first.includes(node));
      const more = rest.length ? [el("details", { class: "sb-quick-more" }, el("summary", {}, `More that it takes (${rest.length})`), el("div", { class: "sb-quick-fields" }, ...rest))] : [];
      fields.replaceChildren(...first, ...more);
      into.hidden = !asked.into || !model.get("jobs").length;
      beside.replaceChildren();
    };
    const one = (each, several) => el("div", { class: "sb-quick-one" },
      several ? el("p", { class: "sb-help" }, `Read as: ${each.read}`) : "",
      el("p", { class: "sb-quick-line" }, each.status === "passes" ? "" : stateSign(each.status), each.status === "passes" ? "" : " ", each.line),
      each.decides ? el("p", { class: "sb-quick-decides" }, each.decides) : "",
      ...each.short.map((line) => el("p", { class: "sb-quick-decides" }, stateSign("falls short"), ` beside it: ${line}`)),
      el("p", { class: "sb-help" }, each.sections ? `${each.sections}. Edition ${each.edition}.` : `Edition ${each.edition}.`));
    const tell = () => {
      const told = model.get("answer");
      if (told.problem) {
        answer.replaceChildren(el("p", { class: "sb-lines" }, told.problem));
        beside.replaceChildren();
      } else {
        const open = beside.querySelector("details")?.open ?? false;
        answer.replaceChildren(...told.answers.map((each) => one(each, told.answers.length > 1)));
        beside.replaceChildren(...told.answers.map((each) => {
          const sheet = el("div", { class: "sb-page sb-wide" });
          sheet.innerHTML = each.html;
          return el("div", {}, el("ul", {}, ...each.beside.map((line) => el("li", {}, line))),
            el("details", { open }, el("summary", {}, "The work, line by line"), sheet));
        }));
      }
      put.disabled = told.answers?.length !== 1;
      said.textContent = told.said ?? "";
    };
    const heard = () => {
      waiting = false;
      draw();
      tell();
      if (wanted !== null) send(wanted);
    };
    draw();
    tell();
    model.on("change:answers", heard);
    return () => { clearTimeout(timer); model.off("change:answers", heard); };
  },
};
