// The bar at the top of a page: job and verdict, the pages with the state of each, what does not pass, print.

const WIDE = 760;

export default {
  render({ model, el: root }) {
    begin(root, "house");
    const head = el("div", { class: "sb-head", role: "status" });
    const print = el("button", { type: "button", hidden: !model.get("prints"), onclick: () => { print.disabled = true; model.send({ kind: "print" }); } }, "Print this page");
    const pages = el("details", { class: "sb-pages" }, el("summary", {}, "Pages"), el("ul"));
    const open = el("details", { class: "sb-open" }, el("summary"), el("ul"));
    root.replaceChildren(el("nav", { "aria-label": "This job and its pages" }, el("div", { class: "sb-tools" }, head, print), pages, open));
    pages.open = (root.clientWidth || window.innerWidth) >= WIDE;
    const page = ([file, title, state]) => {
      const here = file === thisPage();
      return el("li", {}, here ? el("strong", { "aria-current": "page" }, title) : pageLink(file, "", title), " ",
        state in SHAPES ? stateSign(state) : state ? el("small", {}, state) : "");
    };
    const thing = (each) => {
      const words = `${each.about}: ${each.what}`;
      return el("li", {}, stateSign(each.state), " ", each.page ? pageLink(each.page, each.at, words) : words);
    };
    const draw = () => {
      const state = model.get("state");
      head.replaceChildren(el("strong", {}, model.get("job")), " ", ...(state ? [stateSign(state), " "] : []), model.get("said"));
      pages.querySelector("ul").replaceChildren(...model.get("pages").map(page));
      const things = model.get("failing");
      open.hidden = !things.length;
      open.querySelector("summary").textContent = `What does not pass in this job (${things.length})`;
      open.querySelector("ul").replaceChildren(...things.map(thing));
    };
    const fade = () => root.classList.toggle("sb-behind", model.get("behind"));
    draw(); fade();
    model.on("change:said change:pages change:failing change:job change:state", draw);
    model.on("change:behind", fade);
    // a link to an entry of this very page leads there without leaving it
    open.addEventListener("click", (event) => {
      const link = event.target.closest("a");
      const [file, at] = (link?.getAttribute("href") ?? "").split("#");
      if (!at || file !== thisPage()) return;
      event.preventDefault();
      event.stopPropagation();
      open.open = false;
      window.dispatchEvent(new CustomEvent("studbay-entry", { detail: decodeURIComponent(at) }));
    }, true);
    model.on("msg:custom", (message) => {
      if (message.kind !== "print") return;
      print.disabled = false;
      onPaper(message.title, message.html);
    });
  },
};

// All that the page shows and can show, in a document of its own: what is in view alone would be half of it.
function onPaper(title, html) {
  const frame = el("iframe", { class: "sb-paper", "aria-hidden": "true", tabindex: "-1", title: "To be printed" });
  document.body.append(frame);
  const paper = frame.contentDocument;
  paper.title = title;
  paper.head.append(el("style", {}, "body { font: 11pt sans-serif; margin: 0; } svg { max-width: 100%; height: auto; } tr, svg { break-inside: avoid; }"));
  paper.body.innerHTML = html;
  for (const each of paper.querySelectorAll("details")) each.open = true;
  frame.contentWindow.addEventListener("afterprint", () => frame.remove());
  frame.contentWindow.print();
}
