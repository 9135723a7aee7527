"""What the cells of a notebook call: open a job, edit it, show a family's sheets and charts.

With a person at the page everything is live and follows the form. Run headless, the same cells show the same content as
plain displays, which is what a packet is made from.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from IPython.display import display

from calc.codebook import Codebook, CodebookError
from calc.families import Family, dwelling_load, families
from calc.families.charting import Chart
from calc.families.reading import codebook_for
from calc.job import Job, JobError, changed, read_job
from calc.job.draft import Draft
from calc.show.charts import draw
from calc.show.display import Shown, show_chart, show_front, show_sheet, show_table
from calc.show.form import Form
from calc.show.html import front_html, table_html
from calc.show.live import View, WhatIf, person_present, sheet_page, sheet_titles
from calc.work import Sheet


class Desk:
    """A job opened for one family. Where the job lacks the family's part, it says so and shows nothing else."""

    def __init__(self, family: str, job_path: str | Path, live: bool | None = None) -> None:
        self.family: Family = families()[family]
        self.live = person_present() if live is None else live
        self.draft = Draft(job_path) if self.live else None
        self.job: Job = self.draft.job if self.draft else read_job(job_path)
        self.code: Codebook = codebook_for(self.job)
        self._views: list[View] = []
        self._what_if: WhatIf | None = None
        self._before: list[dict[str, Any]] = []
        self._work()
        if self.missing and not self.live:
            print(f"{self.family.TITLE}: this job has no such part yet. It needs {'; '.join(self.missing)}.")

    def _work(self) -> None:
        self.missing = self.family.needs(self.job)
        self._sheets: Sequence[Sheet] = [] if self.missing else self.family.work(self.job, self.code)
        self._charts: list[Chart] | None = None

    def form(self) -> None:
        """The form, where a person is at the page."""
        if self.draft is not None:
            display(Form(self.draft, self.family.FORM, self._edited))

    def front(self) -> Shown | None:
        """The load summary for page 1 of the packet."""
        if not self.live:
            return None if self.missing else show_front(dwelling_load.front(self.job, self.code))
        self._view("Summary", lambda: ["summary"], lambda _: front_html(dwelling_load.front(self.job, self.code)))
        return None

    def sheets(self) -> None:
        """Each sheet with its lines, checks, notes and cautions."""
        if not self.live:
            display(*[show_sheet(sheet) for sheet in self._sheets])
            return
        self._view("Sheet", lambda: sheet_titles(self._sheets), self._sheet_page)

    def charts(self) -> None:
        """Each chart."""
        if not self.live:
            display(*[show_chart(chart) for chart in self._all_charts()])
            return
        self._view("Chart", lambda: [chart.title for chart in self._all_charts()], self._chart_page)

    def tables(self) -> None:
        """Tables beside the sheets, such as the editions side by side."""
        if not self.live:
            display(*[show_table(table) for table in self._all_tables()])
            return
        self._view(
            "Table", lambda: [t["title"] for t in self._all_tables()], lambda at: table_html(self._all_tables()[at])
        )

    def choices(self) -> None:
        """The owner's choices: what the service carries, a new one instead, room for more; and curves of the load."""
        if not self.live:
            if not self.missing:
                display(*[show_table(table) for table in dwelling_load.choices(self.job, self.code)])
                display(*[show_chart(chart) for chart in dwelling_load.sweeps(self.job, self.code)])
            return
        self._view(
            "Choices",
            lambda: [table["title"] for table in dwelling_load.choices(self.job, self.code)],
            lambda at: table_html(dwelling_load.choices(self.job, self.code)[at]),
        )

    def what_if(self) -> None:
        """A given changed and the family worked again, where a person is at the page."""
        if self.live:
            self._what_if = WhatIf(self._numbers, self._compared)
            self._what_if.refresh()
            display(self._what_if.box)

    # -- inside ---------------------------------------------------------------------------------------------

    def _view(self, label: str, titles: Any, page: Any) -> None:
        view = View(label, lambda: [] if self.missing else titles(), page)
        self._views.append(view)
        view.refresh(True)
        display(view.box)

    def _edited(self) -> None:
        assert self.draft is not None
        if self.draft.current:
            self._before = [sheet.results for sheet in self._sheets]
            self.job = self.draft.job
            try:
                self.code = codebook_for(self.job)
            except CodebookError as error:
                self.draft.problems = {"code.amendments": str(error)}
            else:
                self._work()
        for view in self._views:
            view.refresh(self.draft.current)
        if self._what_if is not None and self.draft.current:
            self._what_if.refresh()

    def _sheet_page(self, at: int) -> str:
        return sheet_page(self._sheets[at], self._before[at] if at < len(self._before) else {})

    def _chart_page(self, at: int) -> str:
        chart = self._all_charts()[at]
        words = chart.alt.replace("&", "&amp;").replace("<", "&lt;")
        return f"<div role='group'>{draw(chart)}</div><p>{words}</p>"

    def _all_charts(self) -> list[Chart]:
        if self._charts is None:
            self._charts = [] if self.missing else self.family.charts(self.job, self.code, self._sheets)
        return self._charts

    def _all_tables(self) -> list[dict[str, Any]]:
        return [] if self.missing else self.family.tables(self.job, self.code)

    def _numbers(self) -> list[dict[str, Any]]:
        """Givens of the first sheets that the job file states as plain numbers."""
        seen: dict[str, dict[str, Any]] = {}
        for sheet in self._sheets[:3]:
            for given in sheet.as_json()["givens"]:
                seen.setdefault(given["at"], given)
        return [given for at, given in seen.items() if "." in at and "," not in at]

    def _compared(self, at: str, number: float) -> dict[str, Any]:
        """The results that a changed given changes, now and then."""
        notes = []
        rows: list[list[str]] = []
        try:
            other = changed(self.job, {at: int(number) if number == int(number) else number})
            then = self.family.work(other, codebook_for(other))
        except (JobError, CodebookError) as error:
            notes, then = [str(error)], []
        for now, new in zip(self._sheets, then, strict=False):
            old_lines = {line["key"]: line for line in now.as_json()["lines"]}
            for line in new.as_json()["lines"]:
                before = old_lines.get(line["key"], {"result": "-"})
                if before["result"] != line["result"]:
                    rows.append([line["name"], str(before["result"]), str(line["result"])])
        columns = [
            {"name": "Line", "align": "left"},
            {"name": "Now", "align": "right"},
            {"name": "Then", "align": "right"},
        ]
        intro = "" if rows or notes else "Nothing would change."
        return {"title": "Worked again", "intro": intro, "columns": columns, "rows": rows, "notes": notes}


def state(job_path: str | Path) -> Shown:
    """A job at a glance: what each family needs, what passes, what falls short, what is refused."""
    try:
        job = read_job(Path(job_path))
    except JobError as error:
        problems = [[line] for line in str(error).splitlines()]
        return show_table({"title": "This job file can't be used yet", "intro": "", "rows": problems, "notes": [],
                           "columns": [{"name": "What to mend", "align": "left"}]})  # fmt: skip
    code = codebook_for(job)
    rows = [_state_row(family, job, code) for family in families().values()]
    columns = [{"name": name, "align": "left"} for name in ("Family", "State", "What it says")]
    intro = f"{job.job.name}, edition {job.code.edition}"
    return show_table({"title": "The job at a glance", "intro": intro, "columns": columns, "rows": rows, "notes": []})


def _state_row(family: Family, job: Job, code: Codebook) -> list[str]:
    missing = family.needs(job)
    if missing:
        return [family.TITLE, "not in this job", f"needs {'; '.join(missing)}"]
    sheets = family.work(job, code)
    refused = [f"{s.subject}: {s.refused.reason}" for s in sheets if s.refused]
    short = [f"{s.subject}: {check.name}" for s in sheets for check in s.checks if not check.holds.holds]
    if refused:
        return [family.TITLE, "REFUSED", "; ".join(refused)]
    return [family.TITLE, "FALLS SHORT" if short else "passes", "; ".join(short)]
