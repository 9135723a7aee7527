// What takes many seconds: shown when it is there, worked again on a button.

export default {
  render({ model, el: root }) {
    begin(root, "slow");
    const again = el("button", { type: "button", onclick: () => model.send({ kind: "again" }) }, "Work it again");
    const said = el("span", { role: "status" });
    const page = el("div", { class: "sb-page sb-wide", tabindex: "0", role: "region", "aria-label": model.get("label") });
    root.replaceChildren(el("div", { class: "sb-tools" }, again, said), page);
    const show = () => {
      again.disabled = model.get("working");
      said.textContent = model.get("said");
      page.classList.toggle("sb-old", Boolean(model.get("said")));
    };
    const fill = () => { page.innerHTML = model.get("html"); legible(page); };
    show(); fill();
    model.on("change:working change:said", show);
    model.on("change:html", fill);
    return watch(model, root);
  },
};
