// One sheet, chart or table in view, redrawn when Python sends it anew; what was opened stays open.

const opened = (page) => new Set([...page.querySelectorAll("details[open][data-key]")].map((each) => each.dataset.key));

function fill(page, html) {
  const open = opened(page);
  page.innerHTML = html;
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
