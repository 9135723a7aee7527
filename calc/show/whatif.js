// One entry changed for a try: a list of what can be changed, a labelled field, and beside it a slider for numbers.

export default {
  render({ model, el: root }) {
    begin(root, "whatif");
    const what = el("select", { onchange: () => model.send({ kind: "choose", at: what.value }) });
    const field = el("span");
    const page = el("div", { class: "sb-page sb-wide", role: "region", "aria-label": "What would change", "aria-live": "polite" });
    const use = el("button", { type: "button", disabled: true, onclick: () => { use.disabled = true; model.send({ kind: "use" }); } }, "Use this");
    const tools = el("div", { class: "sb-tools" }, labelled("What if", what), field, use);
    root.replaceChildren(tools, page);
    let waiting = false;
    let wanted = null;
    const ask = (text) => {
      wanted = text;
      use.disabled = false;
      if (waiting) return;
      waiting = true;
      model.send({ kind: "ask", text: wanted });
      wanted = null;
    };
    model.on("change:answers", () => {
      waiting = false;
      page.innerHTML = model.get("html");
      if (wanted !== null) ask(wanted);
    });
    const number = (given) => {
      const input = el("input", { type: "number", step: "any", value: given.value, size: "9" });
      const slide = el("input", { type: "range", min: given.low, max: given.high, step: given.step, value: given.value, "aria-label": `${given.name}, slider` });
      input.addEventListener("input", () => { slide.value = input.value; ask(input.value); });
      slide.addEventListener("input", () => { input.value = slide.value; ask(slide.value); });
      field.replaceChildren(labelled(given.unit ? `were, ${given.unit}` : "were", input, slide));
    };
    const choice = (given) => {
      const select = el("select", { onchange: () => ask(select.value) });
      options(select, given.choices.map((each) => [each, spaced(each)]), given.value);
      field.replaceChildren(labelled("were", select));
    };
    const draw = () => {
      tools.style.display = model.get("titles").length ? "" : "none"; // an empty list offers nothing
      options(what, model.get("titles").map(([at, title]) => [at, title]), model.get("at"));
      const given = model.get("given");
      use.disabled = true;
      if (!given.at) field.replaceChildren();
      else if (given.choices.length) choice(given);
      else number(given);
      page.innerHTML = model.get("html");
    };
    draw();
    model.on("change:titles change:given", draw);
    return watch(model, root);
  },
};
