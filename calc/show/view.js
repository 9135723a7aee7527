// One sheet, chart or table in view, redrawn when Python sends it anew; what was opened stays open.

export default {
  render({ model, el: root }) {
    begin(root, "view");
    const choose = el("select", { onchange: () => model.send({ kind: "choose", at: Number(choose.value) }) });
    const choice = el("div", { class: "sb-tools" }, labelled(model.get("label"), choose));
    const banner = el("div", { role: "status", class: "sb-banner" });
    const page = el("div", { class: "sb-page sb-wide", tabindex: "0", role: "region", "aria-label": model.get("label") });
    root.replaceChildren(choice, banner, page);
    const titles = () => {
      const all = model.get("titles");
      choice.hidden = all.length < 2;
      options(choose, all.map((title, at) => [String(at), title]), String(model.get("at")));
    };
    const warn = () => {
      banner.textContent = model.get("banner");
      page.classList.toggle("sb-old", Boolean(model.get("banner")));
    };
    const show = () => fill(page, model.get("html"));
    titles(); warn(); show();
    model.on("change:titles change:at", titles);
    model.on("change:banner", warn);
    model.on("change:html", show);
    return watch(model, root);
  },
};
