"""What the cells of a notebook call: open a job, show a family's sheets and charts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from IPython.display import display

from calc.families import Family, dwelling_load, families
from calc.families.reading import codebook_for
from calc.job import JobError, read_job
from calc.show.display import Shown, show_chart, show_front, show_sheet, show_table


class Desk:
    """A job opened for one family. Where the job lacks the family's part, it says so and shows nothing else."""

    def __init__(self, family: str, job_path: str | Path) -> None:
        self.family: Family = families()[family]
        self.job = read_job(Path(job_path))
        self.code = codebook_for(self.job)
        self.missing = self.family.needs(self.job)
        self._sheets = [] if self.missing else self.family.work(self.job, self.code)
        if self.missing:
            print(f"{self.family.TITLE}: this job has no such part yet. It needs {'; '.join(self.missing)}.")

    def front(self) -> Shown | None:
        """The load summary for page 1 of the packet."""
        return None if self.missing else show_front(dwelling_load.front(self.job, self.code))

    def sheets(self) -> None:
        """Each sheet with its lines, checks, notes and cautions."""
        display(*[show_sheet(sheet) for sheet in self._sheets])

    def charts(self) -> None:
        """Each chart."""
        if not self.missing:
            display(*[show_chart(chart) for chart in self.family.charts(self.job, self.code, self._sheets)])

    def tables(self) -> None:
        """Tables beside the sheets, such as the editions side by side."""
        if not self.missing:
            display(*[show_table(table) for table in self.family.tables(self.job, self.code)])


def state(job_path: str | Path) -> Shown:
    """A job at a glance: what each family needs, what passes, what falls short, what is refused."""
    try:
        job = read_job(Path(job_path))
    except JobError as error:
        problems = [[line] for line in str(error).splitlines()]
        return show_table({"title": "This job file can't be used yet", "intro": "", "rows": problems, "notes": [],
                           "columns": [{"name": "What to mend", "align": "left"}]})  # fmt: skip
    rows = [_state_row(family, job, codebook_for(job)) for family in families().values()]
    columns = [{"name": name, "align": "left"} for name in ("Family", "State", "What it says")]
    intro = f"{job.job.name}, edition {job.code.edition}"
    return show_table({"title": "The job at a glance", "intro": intro, "columns": columns, "rows": rows, "notes": []})


def _state_row(family: Family, job: Any, code: Any) -> list[str]:
    missing = family.needs(job)
    if missing:
        return [family.TITLE, "not in this job", f"needs {'; '.join(missing)}"]
    sheets = family.work(job, code)
    refused = [f"{s.subject}: {s.refused.reason}" for s in sheets if s.refused]
    short = [f"{s.subject}: {check.name}" for s in sheets for check in s.checks if not check.holds.holds]
    if refused:
        return [family.TITLE, "REFUSED", "; ".join(refused)]
    return [family.TITLE, "FALLS SHORT" if short else "passes", "; ".join(short)]
