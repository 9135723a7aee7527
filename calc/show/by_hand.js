// Drawings that are worked by hand, by pointer and by keys: receptacles along their walls, circuits in their spaces.

const svg = (tag, attributes = {}, ...inside) => {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...inside);
  return node;
};
const STEPS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -12, PageUp: 12 }; // inches
const EDGE = 46; // px around a plan, for what is written there
const MOST_PX = 640;

function drawByHand(host, drawing) {
  const told = JSON.stringify([drawing, host.clientWidth]);
  if (told === host.sbTold) return;
  host.sbTold = told;
  const held = host.contains(document.activeElement) ? document.activeElement.dataset.stop : "";
  host.replaceChildren(...(drawing.kind === "plan" ? plan(host, drawing) : drawing.kind === "schedule" ? schedule(host, drawing) : []));
  // what was just made or moved takes the keyboard
  const { awaited, follow } = host.sbNext;
  const wanted = [...host.querySelectorAll("[data-stop]")].find((each) =>
    awaited ? !awaited.includes(each.dataset.stop) : follow && each.dataset.stop.startsWith(`${follow} `));
  if (wanted) host.sbNext.awaited = host.sbNext.follow = undefined;
  (wanted ?? host.querySelector(`[data-stop="${CSS.escape(held || "none")}"]`))?.focus();
}

// -- rooms ---------------------------------------------------------------------------------------------------

function plan(host, { tracks }) {
  if (!tracks.length) return [];
  const width = Math.min(MOST_PX, Math.max(220, (host.clientWidth || 560) - 16));
  return [
    el("p", {}, "Drag a receptacle along its wall, or give it the keyboard: an arrow moves it an inch, Page Up and Page Down a foot. Click a wall, or press the button, to add one. A dashed stretch is out of reach."),
    ...tracks.flatMap((track) => [!track.counter ? "" : el("p", {}, el("strong", {}, track.name)), drawTrack(host, track, width),
      el("button", { type: "button", onclick: () => add(host, track, middle(track)) }, `Add a receptacle: ${track.name}`)]),
  ];
}

const middle = ({ gaps, length }) => (gaps.length ? ((gaps[0][0] + gaps[0][1]) / 2) % length : length / 2);

function add(host, track, to) {
  host.sbNext.awaited = [...host.querySelectorAll("[data-stop]")].map((each) => each.dataset.stop);
  host.sbAsk({ kind: "put_in", at: track.at, to: Math.round(to), visit: undefined });
}

function drawTrack(host, track, width) {
  const xs = track.points.map(([x]) => x), ys = track.points.map(([, y]) => y);
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = (width - 2 * EDGE) / Math.max(right - left, (high - low) * 0.8, 1);
  const at = ([x, y]) => [EDGE + (x - left) * scale, EDGE + (high - y) * scale];
  const corners = track.points.map(at);
  const lengths = track.points.slice(1).map(([x, y], n) => Math.hypot(x - track.points[n][0], y - track.points[n][1]));
  // where an inch of the track is, and which way the room lies there
  const find = (along) => {
    let n = 0, rest = Math.max(0, Math.min(along, track.length));
    while (n < lengths.length - 1 && rest > lengths[n]) rest -= lengths[n++];
    const [[x0, y0], [x1, y1]] = [corners[n], corners[n + 1]];
    const part = lengths[n] ? rest / lengths[n] : 0;
    const long = Math.hypot(x1 - x0, y1 - y0) || 1;
    return { point: [x0 + (x1 - x0) * part, y0 + (y1 - y0) * part], inward: [-(y1 - y0) / long, (x1 - x0) / long] };
  };
  const piece = (begin, end, off = 0) => {
    const marks = [begin];
    let sum = 0;
    for (const length of lengths) { sum += length; if (sum > begin && sum < end) marks.push(sum - 0.001, sum + 0.001); }
    return [...marks, end].map((each) => { const { point, inward } = find(each); return point.map((value, n) => value + inward[n] * off).join(","); }).join(" ");
  };
  const nearest = (event) => {
    const box = drawn.getBoundingClientRect();
    const [px, py] = [(event.clientX - box.left) * (width / box.width), (event.clientY - box.top) * (width / box.width)];
    let best = [Infinity, 0], sum = 0;
    for (const [n, length] of lengths.entries()) {
      const [[x0, y0], [x1, y1]] = [corners[n], corners[n + 1]];
      const part = Math.max(0, Math.min(1, ((px - x0) * (x1 - x0) + (py - y0) * (y1 - y0)) / ((x1 - x0) ** 2 + (y1 - y0) ** 2 || 1)));
      const far = Math.hypot(px - x0 - (x1 - x0) * part, py - y0 - (y1 - y0) * part);
      if (far < best[0]) best = [far, sum + part * length];
      sum += length;
    }
    return Math.round(Math.min(best[1], track.length));
  };
  const height = 2 * EDGE + (high - low) * scale;
  const drawn = svg("svg", { width, height, viewBox: `0 0 ${width} ${height}`, role: "group", "aria-label": track.name });
  const wall = svg("polyline", { class: "sb-wall", points: corners.map((each) => each.join(",")).join(" ") });
  wall.addEventListener("click", (event) => add(host, track, nearest(event)));
  drawn.append(wall, ...track.breaks.map(([begin, end]) => svg("polyline", { class: "sb-break", points: piece(begin, end) })));
  for (const [begin, end] of track.gaps)
    for (const [from, to] of end > track.length ? [[begin, track.length], [0, end - track.length]] : [[begin, end]])
      drawn.append(svg("polyline", { class: "sb-gap", points: piece(from, to, 10) }));
  const write = (along, off, text) => {
    const { point: [x, y], inward } = find(along);
    const upright = Math.abs(inward[0]) > 0.7;
    drawn.append(svg("text", { x: x + inward[0] * off, y: y + inward[1] * off + 4, "text-anchor": "middle",
      ...(upright ? { transform: `rotate(-90 ${x + inward[0] * off} ${y + inward[1] * off})` } : {}) }, text));
  };
  for (const { at: along, text } of track.labels) write(along, -18, text);
  for (const [begin, end, text] of track.breaks) if ((end - begin) * scale > text.length * 6.5) write((begin + end) / 2, track.counter ? -16 : 16, text);
  for (const stop of track.stops) drawn.append(drawStop(host, track, stop, find, nearest));
  return drawn;
}

function drawStop(host, track, stop, find, nearest) {
  let along = stop.along;
  const circle = svg("circle", { r: 9 }), grip = svg("circle", { r: 14, style: "fill: transparent; stroke: none" });
  const name = svg("text", { "text-anchor": "middle" }, stop.name);
  const node = svg("g", { class: "sb-stop", tabindex: "0", role: "slider", "data-stop": stop.at, "aria-label": `Receptacle ${stop.name}, ${track.name}`,
    "aria-valuemin": 0, "aria-valuemax": Math.round(track.length), "aria-valuenow": Math.round(along), "aria-valuetext": stop.said }, circle, grip, name, svg("title", {}, stop.said));
  const put = () => {
    const { point: [x, y], inward } = find(along);
    for (const each of [circle, grip]) { each.setAttribute("cx", x + inward[0] * 14); each.setAttribute("cy", y + inward[1] * 14); }
    name.setAttribute("x", x + inward[0] * 34);
    name.setAttribute("y", y + inward[1] * 34 + 4);
  };
  // keys in a row are one step for Undo, a drag is a step of its own
  const tell = (more) => host.sbAsk({ kind: "along", at: stop.at, to: Math.round(along), ...more });
  put();
  node.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    if (step === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    along = Math.max(0, Math.min(track.length, Math.round(along) + step));
    put(); tell();
  });
  node.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    node.focus();
    node.setPointerCapture(event.pointerId);
    const from = along;
    const move = (each) => { along = nearest(each); put(); };
    node.addEventListener("pointermove", move);
    node.addEventListener("pointerup", () => { node.removeEventListener("pointermove", move); if (along !== from) tell({ visit: undefined }); }, { once: true });
  });
  return node;
}

// -- panels --------------------------------------------------------------------------------------------------

function schedule(host, { panel, spaces, circuits }) {
  const move = (circuit, to) => host.sbAsk({ kind: "space", at: circuit.at, panel, to, visit: undefined });
  const breaker = (circuit, space) => {
    const shown = space && space !== circuit.positions[0] ? "″" : `${circuit.name}${circuit.tandem && ` (${circuit.tandem})`}`;
    const node = el("button", { type: "button", class: "sb-breaker", "data-stop": space ? `${circuit.at} ${space}` : circuit.at, title: circuit.name,
      "aria-label": `${circuit.name}, ${space ? `space ${circuit.positions.join(" and ")}` : "without a space"}; arrow keys move it` }, shown);
    node.addEventListener("keydown", (event) => {
      const first = circuit.positions[0];
      const step = { ArrowUp: -2, ArrowDown: 2, ArrowLeft: first % 2 ? 0 : -1, ArrowRight: first % 2 ? 1 : 0 }[event.key];
      if (step === undefined) return;
      event.preventDefault();
      event.stopPropagation();
      const to = first ? first + step : 1;
      if (to < 1 || to > spaces || to === first) return;
      host.sbNext.follow = circuit.at;
      move(circuit, to);
    });
    node.addEventListener("pointerdown", (event) => {
      node.focus();
      node.setPointerCapture(event.pointerId);
      const under = (each) => document.elementsFromPoint(each.clientX, each.clientY).map((found) => found.closest?.("[data-space]")).find((found) => found && host.contains(found));
      const over = (each) => { for (const one of host.querySelectorAll(".sb-over")) one.classList.remove("sb-over"); under(each)?.classList.add("sb-over"); };
      node.addEventListener("pointermove", over);
      node.addEventListener("pointerup", (each) => {
        node.removeEventListener("pointermove", over);
        const to = Number(under(each)?.dataset.space ?? 0);
        for (const one of host.querySelectorAll(".sb-over")) one.classList.remove("sb-over");
        if (to && !circuit.positions.includes(to)) { host.sbNext.follow = circuit.at; move(circuit, to); }
      }, { once: true });
    });
    return node;
  };
  const place = (space) => el("div", { class: "sb-space", "data-space": space },
    ...circuits.filter((each) => each.positions.includes(space)).map((each) => breaker(each, space)));
  const number = (space) => el("span", { class: "sb-number" }, String(space));
  const rows = Array.from({ length: spaces / 2 }, (_, row) => [number(2 * row + 1), place(2 * row + 1), place(2 * row + 2), number(2 * row + 2)]);
  const without = circuits.filter((each) => !each.positions.length);
  return [
    el("p", {}, `Schedule of ${panel}. Drag a circuit to another space, or give it the keyboard and press an arrow. One of the same size that is there takes its place.`),
    el("div", { class: "sb-spaces", role: "group", "aria-label": `Spaces of ${panel}` }, ...rows.flat()),
    without.length ? el("div", { class: "sb-unplaced" }, el("span", {}, "No space entered, so one is chosen for them:"), ...without.map((each) => breaker(each, 0))) : "",
  ];
}
