"""From an edit to the redrawn sheet and chart, in a real browser, and where the time goes.

Run it with `make bench`. Times are taken in the page: from the input event to the change of its document. The window is
made so tall that all of the page is in sight, so that everything is redrawn at each edit; a person sees less at a time.
"""

from __future__ import annotations

import os
import shutil
import statistics
import tempfile
import time
import tomllib
from pathlib import Path
from typing import Any

import tomlkit
from playwright.sync_api import Page, sync_playwright

from tests.browser.pages import KERNEL_IDLE, FormPage, run_all
from tests.browser.serving import Served, serving

HOUSE = "fernhollow-lot-14.toml"
EDITS = 40
# a notebook, a place of the house, and what is typed there in turn
FAMILIES: dict[str, tuple[str, list[str]]] = {
    "01-dwelling-load": ("dwelling.floor_area_ft2", [str(3000 + 20 * n) for n in range(EDITS)]),
    "02-feeder": ("runs[2].calculated_a", [str(120 + n) for n in range(EDITS)]),
    "03-voltage-drop": ("runs[2].length_ft", [str(60 + n) for n in range(EDITS)]),
    "04-fault-current": ("runs[2].length_ft", [str(60 + n) for n in range(EDITS)]),
    "05-raceway": ("runs[4].size", ["4", "6"] * (EDITS // 2)),
    "06-branch-circuits": ("circuits[1].breaker_a", ["15", "20"] * (EDITS // 2)),
    "07-box-fill": ("boxes[1].marked_in3", [str(18 + n / 4) for n in range(EDITS)]),
    "08-receptacles": ("rooms[1].walls[1].length_ft", [str(19 + n / 4) for n in range(EDITS)]),
    "09-grounding": ("grounding.electrodes[1].conductor", ["6", "4"] * (EDITS // 2)),
    "09c-rough-in": ("panels[1].working_depth_in", [str(30 + n / 4) for n in range(EDITS)]),
}
BOXES = 100
EDIT = """async ([at, text]) => {
  const input = document.querySelector(`[data-at="${at}"]`);
  const seen = {};
  const begun = performance.now();
  const watched = ["Sheet", "Chart"].flatMap((label) => [...document.querySelectorAll(`.sb-page[aria-label="${label}"]`)]
    .filter((page) => page.innerHTML).map((page) => {
      const watch = new MutationObserver(() => { seen[label] = performance.now() - begun; });
      watch.observe(page, { childList: true, subtree: true });
      return watch;
    }));
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  input.dispatchEvent(new Event("change", { bubbles: true }));
  const form = input.closest(".sb-form");
  await new Promise((done) => { const ask = () => (form.hasAttribute("data-busy") ? setTimeout(ask, 2) : done()); ask(); });
  const answered = performance.now() - begun;
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 30)));
  watched.forEach((watch) => watch.disconnect());
  return { ...seen, answered };
}"""


def main() -> None:
    """Measure and print."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise SystemExit("no Chromium here: apt-get install chromium")
    print(f"load at the start {os.getloadavg()[0]:.1f}; {EDITS} edits each; milliseconds\n")
    print(f"{'':22}{'sheet':>14}{'chart':>14}{'answer':>14}{'kernel CPU':>12}{'form after, s':>15}")
    print(f"{'':22}{'median   p95':>14}{'median   p95':>14}{'median   p95':>14}{'an edit':>12}")
    with tempfile.TemporaryDirectory() as kept, serving(Path(kept)) as served, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        folder = served.place("house")
        _choose(folder, HOUSE)
        for notebook, (at, typed) in FAMILIES.items():
            _measure(browser.new_page(), served, folder, notebook, notebook, at, typed)
        _many_boxes(folder)
        _choose(folder, "many-boxes.toml")
        _measure(browser.new_page(), served, folder, f"{BOXES} boxes", "07-box-fill", *FAMILIES["07-box-fill"])
        browser.close()
    print(f"\nload at the end {os.getloadavg()[0]:.1f}")


def _measure(page: Page, served: Served, folder: Path, name: str, notebook: str, at: str, typed: list[str]) -> None:
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(served.address(folder, f"{notebook}.ipynb", pages=False))
    page.wait_for_function(KERNEL_IDLE)
    begun = time.perf_counter()
    run_all(page)
    form = FormPage(page)
    form_after_s = time.perf_counter() - begun
    page.set_viewport_size({"width": 1280, "height": 15_000})
    page.wait_for_function("!document.querySelector('.sb-waiting')", timeout=60_000)
    form.settle()
    form.has(at.rpartition(".")[0].rpartition("[")[0]) if "[" in at else None
    if not form.at(at).count():
        form.put_in_row(at, typed[-1])
    page.evaluate(EDIT, [at, typed[-1]])
    cpu = _cpu_s(served.pid)
    found = [page.evaluate(EDIT, [at, text]) for text in typed]
    cpu_ms = 1000 * (_cpu_s(served.pid) - cpu) / len(found)
    cells = "".join(_cell([each[what] for each in found if what in each]) for what in ("Sheet", "Chart", "answered"))
    print(f"{name:22}{cells}{cpu_ms:12.0f}{form_after_s:15.1f}", flush=True)
    served.end_kernels(served.kernels())
    page.close()


def _cell(times: list[float]) -> str:
    if not times:
        return f"{'-':>14}"
    return f"{statistics.median(times):8.0f}{sorted(times)[int(0.95 * (len(times) - 1))]:6.0f}"


def _cpu_s(server: int) -> float:
    """Processor time of the kernels that the server runs, so far."""
    ticks = 0
    for process in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = process.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[1]) == server:
            ticks += int(fields[11]) + int(fields[12])
    return ticks / os.sysconf("SC_CLK_TCK")


def _choose(folder: Path, job: str) -> None:
    (folder / "notebooks" / "jobs" / ".chosen").write_text(job)


def _many_boxes(folder: Path) -> None:
    """The house with a hundred boxes: its own over and over, each with a name of its own."""
    jobs = folder / "notebooks" / "jobs"
    data: dict[str, Any] = tomllib.loads((jobs / HOUSE).read_text())
    own = data["boxes"]
    data["boxes"] = [{**own[n % len(own)], "name": f"Box {n + 1}"} for n in range(BOXES)]
    (jobs / "many-boxes.toml").write_text(tomlkit.dumps(data))


if __name__ == "__main__":
    main()
