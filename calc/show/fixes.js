// The fix list: a card a thing, with the way to its entry and its correction to be used.

export default {
  render({ model, el: root }) {
    begin(root, "fixes");
    const again = el("button", { type: "button", onclick: () => model.send({ kind: "again" }) }, "Work it again");
    const said = el("span", { role: "status" });
    const list = el("div");
    const page = el("div", { class: "sb-page sb-wide", tabindex: "0", role: "region", "aria-label": "Fix list as a table" });
    const table = el("details", {}, el("summary", {}, "The same as a table, with who goes where"), page);
    root.replaceChildren(el("div", { class: "sb-tools" }, again, said), list, table);
    const line = (label, text) => (text ? el("p", {}, `${label}${label && ": "}${text}`) : "");
    const card = (item) => {
      const use = item.enters.length ? el("button", { type: "button", class: "sb-use", "aria-label": `Use this for ${item.where}: ${item.remedy}`,
        onclick: () => model.send({ kind: "use", number: item.number }) }, "Use this") : "";
      return el("li", { class: "sb-card", "data-number": item.number },
        el("p", {}, stateSign(item.state), " ", el("strong", {}, `${item.number}. ${item.where}`), ` ${item.what}`),
        line("There", item.there), line("", item.needed),
        el("p", {}, el("strong", {}, item.enters.length ? "Correction: " : "To do: "), item.remedy, item.others.length ? `; or ${item.others.join("; or ")}` : ""),
        item.enters.length ? el("details", {}, el("summary", {}, `What it enters (${item.enters.length})`), el("ul", {}, ...item.enters.map((each) => el("li", {}, each)))) : "",
        line("Corrected with it", item.along.join("; ")),
        el("div", { class: "sb-tools" }, use, item.page ? pageLink(item.page, item.at, "Go to its entry") : "", el("small", {}, item.trade)));
    };
    const draw = () => {
      const items = model.get("items");
      list.replaceChildren(...[...new Set(items.map((item) => item.grade))].flatMap((grade) =>
        [el("h3", {}, grade), el("ul", { class: "sb-cards" }, ...items.filter((item) => item.grade === grade).map(card))]));
      table.hidden = !model.get("html");
      page.innerHTML = model.get("html");
      show();
    };
    const show = () => {
      again.disabled = model.get("working");
      said.textContent = model.get("said");
      list.classList.toggle("sb-old", Boolean(model.get("said")));
      for (const use of list.querySelectorAll(".sb-use")) use.disabled = Boolean(model.get("said"));
    };
    draw();
    model.on("change:working change:said", show);
    model.on("change:items change:html", draw);
    return watch(model, root);
  },
};
