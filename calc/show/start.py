"""The start page: choose or make a job, see how it stands, make its packet, take its lists out and in.

With a person at the page each part is a widget. Run headless, the state of the job is a plain table and nothing else.
"""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from IPython.display import display

from calc.job import (
    Job,
    JobError,
    create_job,
    export_parts,
    export_workbook,
    field_info,
    file_stem,
    import_parts,
    import_workbook,
    new_job,
    read_job,
    save_job,
    starters,
)  # fmt: skip
from calc.job.fields import parts_of
from calc.show.album import Album
from calc.show.assets import looks, script
from calc.show.bar import Bar, house_at
from calc.show.chosen import JOBS, choose, chosen_job
from calc.show.display import show_verdict
from calc.show.glance import glance, glance_table, verdict
from calc.show.html import note_html, table_html
from calc.show.live import person_present
from calc.show.printing import pdf_of, print_packet
from calc.show.proposing import KINDS, follow, proposed

NOTEBOOKS = Path()
WHOLE = "house"
"""What is taken out and in as one workbook, where a list could be."""
_SPREADSHEETS = {".csv": "text/csv", ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
Answer = Mapping[str, Any]
Ask = Callable[[dict[str, Any], list[Any]], Answer]


class Part(anywidget.AnyWidget):
    """One part of the page: what it shows, and what is done with what a person asks there."""

    _esm = script("start")
    _css = looks()
    part = traitlets.Unicode().tag(sync=True)
    data = traitlets.Dict().tag(sync=True)

    def __init__(self, part: str, data: Answer, ask: Ask) -> None:
        super().__init__(part=part, data=dict(data))
        self.on_msg(lambda _, message, buffers: self.tell(ask(message, buffers)))

    def tell(self, data: Answer) -> None:
        """Show something else."""
        self.data = {**self.data, **data}

    def hand_over(self, name: str, kind: str, raw: bytes) -> None:
        """Give the page a file, for a person to open or keep."""
        self.send({"name": name, "type": kind}, buffers=[raw])


class Start:
    """The start page of a working folder. ``job_path`` None stands for the job chosen last, or the demo."""

    def __init__(self, job_path: str | Path | None = None, live: bool | None = None) -> None:
        self.live = person_present() if live is None else live
        self.path = chosen_job(job_path, self.live)
        self._parts: dict[str, Part] = {}
        self._album = Album()
        if self.live:
            self._bar = Bar(lambda: house_at(self.path), self._album.whole)
            self._album.put(self._bar, lambda: [self._bar.picture()])

    def job(self) -> None:
        """Choose a job of the folder, or make one."""
        self._show("job", self._choice("") | {"starters": _starters()}, self._choose)

    def glance(self) -> None:
        """Which calculations have what they need, what passes, what falls short, what is refused."""
        if self.live:
            self._show("glance", glance(self.path, NOTEBOOKS), lambda _, __: glance(self.path, NOTEBOOKS))
        else:
            display(show_verdict(verdict(self.path), glance_table(self.path)))

    def packet(self) -> None:
        """Make the packet of the job as it is saved, as the command line makes it, and open it."""
        self._show("packet", self._packet(""), self._print)

    def spreadsheets(self) -> None:
        """Lists of the job out to a spreadsheet, and back."""
        self._show("spreadsheets", self._lists(""), self._exchange)

    # -- inside ---------------------------------------------------------------------------------------------

    def _show(self, name: str, data: Answer, ask: Ask) -> None:
        if self.live:
            part = self._parts[name] = Part(name, data, self._asking(ask))
            self._album.put(part, lambda: [self._picture(name)])

    def _asking(self, ask: Ask) -> Ask:
        def answer(message: dict[str, Any], buffers: list[Any]) -> Answer:
            self._album.stale()
            answer = ask(message, buffers)
            self._bar.stale()
            return answer

        return answer

    def _picture(self, name: str) -> str:
        """What a saved notebook keeps of a part: the job, and how it stands. The others only do things."""
        if name == "glance":
            return table_html(glance_table(self.path))
        return note_html(f"Job: {self.path.name}") if name == "job" else ""

    def _choice(self, said: str) -> dict[str, Any]:
        jobs = sorted({*JOBS.glob("*.toml"), self.path}) if self.path.parent == JOBS else [self.path]
        return {
            "jobs": [path.name for path in jobs],
            "chosen": self.path.name,
            "said": said,
            "proposed": proposed(self.path),
        }

    def _choose(self, message: dict[str, Any], _: list[Any]) -> Answer:
        try:
            if message["kind"] == "make":
                name = str(message["name"]).strip()
                made = JOBS / f"{file_stem(name)}.toml"
                create_job(made, new_job(name, str(message["starter"])))
                self.path, said = (
                    made,
                    f"Made {made.name}. Open a calculation below and put your entries in place of the examples.",
                )
            elif message["kind"] in KINDS:
                said = follow(self.path, message)
            else:
                known = {path.name: path for path in JOBS.glob("*.toml")}
                self.path, said = known[str(message["file"])], ""
        except (JobError, KeyError) as error:
            return self._choice(_reasons(error))
        choose(self.path)
        for name, part in self._parts.items():
            if name != "job":
                part.tell({"glance": lambda: glance(self.path, NOTEBOOKS), "packet": lambda: self._packet(""),
                           "spreadsheets": lambda: self._lists("")}[name]())  # fmt: skip
        return self._choice(said)

    def _packet(self, said: str) -> dict[str, Any]:
        return {"said": said, "busy": False, "done": 0, "all": 1, "made": pdf_of(self.path) is not None}

    def _print(self, message: dict[str, Any], _: list[Any]) -> Answer:
        part = self._parts["packet"]
        if message["kind"] == "open":
            pdf = pdf_of(self.path)
            if pdf is None:
                return self._packet("There is no packet of this job yet.")
            part.hand_over(f"{pdf.parent.name}.pdf", "application/pdf", pdf.read_bytes())
            return {}
        if not part.data["busy"]:
            threading.Thread(target=self._print_in_peace, args=(part, self.path), daemon=True).start()
        return {"busy": True, "done": 0, "said": "Beginning."}

    def _print_in_peace(self, part: Part, path: Path) -> None:
        """Beside the page, so that it goes on answering."""
        try:
            said = print_packet(path, lambda done, of, text: part.tell({"done": done, "all": of, "said": text}))
        except OSError as error:
            said = f"No packet was made: {error}"
        part.tell(self._packet(said))

    def _lists(self, said: str) -> dict[str, Any]:
        try:
            data = read_job(self.path).data
        except JobError:
            return {"lists": [], "said": "The job file has to be corrected first."}
        lists = [
            (WHOLE, "The whole house", 1),
            *(
                (key, field_info(Job, key).title, len(data.get(key, [])))
                for key, (_, many) in parts_of(Job).items()
                if many
            ),
        ]
        return {"lists": lists, "said": said}

    def _exchange(self, message: dict[str, Any], buffers: list[Any]) -> Answer:
        key = str(message["key"])
        ending = Path(str(message["name"])).suffix.lower() if message["kind"] == "in" else str(message["ending"])
        if ending not in _SPREADSHEETS:
            return self._lists(f"A spreadsheet ends in {' or '.join(_SPREADSHEETS)}; this one does not.")
        whole = key == WHOLE
        try:
            with tempfile.TemporaryDirectory() as folder:
                table = Path(folder) / f"{key}{ending}"
                if message["kind"] == "out":
                    job = read_job(self.path)
                    export_workbook(job, table) if whole else export_parts(job, key, table)
                    self._parts["spreadsheets"].hand_over(
                        f"{self.path.stem}-{table.name}", _SPREADSHEETS[ending], table.read_bytes()
                    )
                    return self._lists("")
                table.write_bytes(bytes(buffers[0]))
                job = read_job(self.path)
                add = bool(message["add"])
                job = save_job(import_workbook(job, table) if whole else import_parts(job, key, table, add=add))
        except (JobError, KeyError) as error:
            return self._lists(_reasons(error))
        if whole:
            return self._lists("The workbook is in the job now; the version before is kept beside it.")
        return self._lists(
            f"{len(job.data.get(key, []))} entries are in the job now; the version before is kept beside it."
        )


def _starters() -> list[tuple[str, str]]:
    """The usual one first."""
    return sorted(starters().items(), key=lambda starter: starter[0] != "one-family")


def _reasons(error: Exception) -> str:
    return str(error) if isinstance(error, JobError) else f"not known here: {error}"
