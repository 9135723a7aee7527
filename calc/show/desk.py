"""What the cells of a notebook call: open a job, edit it, show a family's sheets and charts.

With a person at the page everything is live and follows the form. Run headless, the same cells show the same content as
plain displays, which is what a packet is made from.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from IPython.display import display

from calc.codebook import CodebookError, editions
from calc.documents.house import one_line, tables_beside
from calc.documents.owner import lacking, owner_page
from calc.families import Family, dwelling_load, families, feeder
from calc.job import Job, JobError, read_job
from calc.job.draft import Draft
from calc.job.forms import Group, form_of, recorded_in
from calc.job.places import dotted, steps, value_at
from calc.remedies.lists import FixList
from calc.show.album import Album
from calc.show.bar import Bar
from calc.show.beside import MOST_CHANGES, Beside, changes, sheet_about, tightest
from calc.show.chosen import DEMO, chosen_job
from calc.show.display import Shown, show_chart, show_document, show_front, show_sheet, show_table
from calc.show.fixing import Fixes
from calc.show.form import Form
from calc.show.glance import OUTSIDE, spoken
from calc.show.handled import drawing
from calc.show.html import front_html, note_html, sheet_html, table_html
from calc.show.live import Slow, Thing, View, WhatIf, chart_page, person_present, sheet_title
from calc.show.opening import opening_html, opening_text
from calc.show.parameters import ParameterError, Parameters, about, checked, fitting
from calc.show.reference import small_house, small_sheets
from calc.show.stands import Stands, stands_of, told
from calc.show.tries import Given, by_edition, givens, tried
from calc.verdict.proposed import sheets_of
from calc.verdict.scope import scope_of
from calc.verdict.standing import in_scope
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table

LESSON = "How this is worked: a drawing, the formula, where it comes from"
FIRST = ("Sheet", "Chart")  # drawn before all else after an edit: what a person looks at to see what the edit did


class Page:
    """A job opened in a notebook, with the form of some parts of it.

    ``job_path`` None stands for the job that was chosen on the start page, ``demo`` where none was.
    """

    def __init__(
        self, title: str, groups: Sequence[Group], job_path: str | Path | None, live: bool | None = None, demo: str = ""
    ) -> None:
        self.title, self.groups = title, groups
        self.live = person_present() if live is None else live
        self._views: list[View | Slow] = []
        self._album = Album()
        self._form: Form | None = None
        self.draft: Draft | None = None
        self.trouble = ""
        self.missing: list[str] = []
        path = chosen_job(job_path, self.live, demo)
        self._own = path != Path(demo or DEMO)
        if not self.live:
            self._take(read_job(path))
            if self.missing:
                print(self._lacks())
            return
        self.draft = self._opened(path)
        self._bar = Bar(self._in_hand, self._album.whole)
        self._album.put(self._bar, lambda: [self._bar.picture()])

    def _opened(self, path: Path) -> Draft | None:
        """The draft of a job, for a person; a file that can't be used is told in the page."""
        try:
            draft = Draft(path)
        except JobError as error:
            self.trouble = f"This job file can't be used yet. {error}"
            self.missing = ["a job file that can be used"]
            return None
        self._try_to_take(draft.job)
        return draft

    def form(self) -> None:
        """The form, where a person is at the page."""
        if not self.live:
            return
        if self.draft is None:
            display(Shown({"text/html": note_html(self.trouble), "text/plain": self.trouble}))
            return
        form = self._form = Form(
            self.draft, self.groups, self._edited, self._stands(), self._beside, self._drawn_by_hand
        )
        self._album.put(form, lambda: [form.picture()])

    def show(self, label: str, things: Callable[[], list[Thing]]) -> View:
        """Things of one kind that follow the form, for a person at the page."""
        view = View(label, lambda: [] if self.missing or self.trouble else things())
        self._views.append(view)
        self._album.put(view, view.picture)
        return view

    def show_slowly(self, label: str, work: Callable[[], str]) -> None:
        """What takes many seconds to work, for a person at the page."""
        slow = Slow(label, work, self._album.stale)
        self._views.append(slow)
        self._album.put(slow, lambda: [slow.html])

    def fixes(self, work: Callable[[], FixList], draw: Callable[[FixList], str]) -> None:
        """The fix list, each correction to be used in the form."""
        assert self.draft is not None
        draft = self.draft
        fixes = Fixes(work, draw, lambda: draft.data, self._use_all, self._album.stale)
        self._views.append(fixes)
        self._album.put(fixes, lambda: [fixes.html])

    # -- inside ---------------------------------------------------------------------------------------------

    def _use_all(self, changes: Mapping[str, Any]) -> bool:
        """Enter a correction, as if it had been typed in the form: Undo takes it back."""
        return self._form is not None and self._form.take_all(changes)

    @property
    def job(self) -> Job:
        """The job as it was taken up last."""
        return self.house.whole_job

    def _in_hand(self) -> House | str:
        """The house as it stands with what is entered here, for the bar; why there is none."""
        return self.trouble or self.house

    def _house(self, job: Job) -> House:
        """The house of a job, made from the one before where there is one: only what differs is worked again."""
        before: House | None = getattr(self, "house", None)
        return House.of(job) if before is None else before.after(job)

    def _take(self, job: Job) -> None:
        """Take up a job. CodebookError where its edition and amendments don't go together."""
        self.house = self._house(job)

    def _try_to_take(self, job: Job) -> None:
        """Take up a job for a person at the page: what can't be worked is said there, and the form goes on."""
        try:
            self._take(job)
            self.trouble = ""
        except (CodebookError, JobError, ParameterError) as error:
            self.trouble = str(error)
        except Exception as error:  # whatever it is, what a person typed must not be lost by it
            self.trouble = f"This could not be worked, by a fault of the program: {type(error).__name__}: {error}"

    def _edited(self, at: str) -> Stands:
        """Follow the draft after an edit at a place; gives how things stand."""
        assert self.draft is not None
        if self.draft.current:
            self._try_to_take(self.draft.job)
        current = self.draft.current and not self.trouble
        about = self._entry_named(at)
        for view in sorted(self._views, key=lambda view: (*FIRST, view.label).index(view.label)):
            view.refresh(current, about)
        self._album.stale()
        self._bar.stale()
        return self._stands()

    def _drawn_by_hand(self, at: str) -> dict[str, Any]:
        """The drawing of an entry that can be worked in."""
        return {} if self.trouble else drawing(self.house, at)

    def _beside(self, at: str, chart: bool) -> Beside | None:
        """What stands beside the form while a place of it is edited; None where the page has no sheets."""
        return None

    def _entry_named(self, at: str) -> str:
        """The name of the entry of a list that was edited, so that its sheet comes into view."""
        assert self.draft is not None
        found = value_at(self.draft.data, dotted(steps(at)[:2]))
        by = recorded_in(str(steps(at)[0]), self.groups).get("by", "name") if at else "name"
        return str(found.get(by, "")) if isinstance(found, dict) else ""

    def _stands(self) -> Stands:
        """How things stand, for the form's bar."""
        return told(self.trouble or (self._lacks() if self.missing else ""))

    def _lacks(self) -> str:
        needs = spoken(self.missing) if self.live else "; ".join(self.missing)
        return f"{self.title}: this job has no such part yet. It needs {needs}."


class Desk(Page):
    """A job opened for one family. Where the job lacks the family's part, it says so and shows nothing else.

    ``edition``, ``subject`` and ``overrides`` are the notebook's parameters (`calc/show/parameters.py`), whatever they hold:
    ParameterError for what may not be used.
    """

    def __init__(
        self, family: str, job_path: str | Path | None, live: bool | None = None, demo: str = "", edition: object = None,
        subject: object = None, overrides: object = None,
    ) -> None:  # fmt: skip
        self.family: Family = families()[family]
        self.asked: Parameters = checked(job_path, edition, subject, overrides)
        self._what_if: WhatIf | None = None
        self._editions: View | None = None
        self._sheet_view: View | None = None
        self._before: Sequence[Sheet] = []
        self._edited_at = ""
        self._sheets: Sequence[Sheet] = []
        self._charts: list[Chart] | None = None
        super().__init__(self.family.TITLE, form_of(family), job_path, live, demo)
        self._say_what_was_asked()

    def opening(self) -> None:
        """A drawing of what the family is about, its governing formula, and where that comes from.

        For a person with a job of their own it is folded to a line: the form comes first.
        """
        html = opening_html(self.family.FAMILY, self._edition(), LESSON if self.live and self._own else "")
        if html:
            display(Shown({"text/html": html, "text/plain": opening_text(self.family.FAMILY, self._edition())}))

    def example(self, *keys: str) -> tuple[House, int]:
        """Where a step can be worked in plain sight: the house, and the number of its sheet of this family that has lines or
        checks of these keys. Of this job where one that is shown has them all, else of the small job of the reference.
        """
        shown = {(sheet.title, sheet.subject) for sheet in self._sheets}
        for number, sheet in enumerate(sheets_of(self.house, self.family.FAMILY) if shown else []):
            if (sheet.title, sheet.subject) in shown and _has(sheet, keys):
                return self.house, number
        print("This job has no such sheet; a small example stands in for it.")
        small = enumerate(small_sheets(self.family.FAMILY, self._edition()))
        return small_house(self.family.FAMILY, self._edition()), next(number for number, s in small if _has(s, keys))

    def front(self) -> Shown | None:
        """The load summary for page 1 of the packet."""
        if not self.live:
            return None if self.missing else show_front(dwelling_load.front(self.house))
        self.show("Summary", lambda: [("summary", lambda: front_html(dwelling_load.front(self.house)))])
        return None

    def sheets(self) -> None:
        """Each sheet with its lines, checks, notes and cautions."""
        if not self.live:
            display(*[show_sheet(sheet) for sheet in self._sheets])
            return
        self._sheet_view = self.show(
            "Sheet", lambda: [(sheet_title(n, s), partial(self._sheet_page, s)) for n, s in enumerate(self._sheets, 1)]
        )
        self._sheet_view.observe(lambda _: self._turned(), "at")

    def charts(self) -> None:
        """Each chart."""
        if not self.live:
            display(*[show_chart(chart) for chart in self._all_charts()])
            return
        self.show("Chart", lambda: [(chart.title, partial(chart_page, chart)) for chart in self._all_charts()])

    def tables(self) -> None:
        """Tables beside the sheets, such as the editions side by side."""
        self._tables("Table", lambda: tables_beside(self.house, self.family.FAMILY))

    def choices(self) -> None:
        """The owner's page: what the service carries, a new one instead, room for more; and curves of the load."""
        if self.live:
            self.show("Owner's page", lambda: [("Owner's page", self._owner_page)])
        elif (document := owner_page(self.house)) is not None:
            display(show_document(document), *[show_chart(chart) for chart in dwelling_load.sweeps(self.house)])

    def _owner_page(self) -> str:
        document = owner_page(self.house)
        if document is None:
            return note_html(f"There is no owner's page of this job: {lacking(self.house)}.")
        return str(show_document(document).forms["text/html"])

    def what_if(self) -> None:
        """An entry changed and the family worked again, and the sheet in view under each edition, for a person."""
        if self.live and self.draft is not None:
            self._what_if = WhatIf(
                self._givens, lambda at, text: tried(self.house, self.family, self._sheets, at, text), self._use
            )
            what_if = self._what_if
            self._album.put(what_if, lambda: [what_if.html])
            self._editions = self.show("Editions", self._by_edition)

    # -- inside ---------------------------------------------------------------------------------------------

    def _edited(self, at: str) -> Stands:
        if not at or at != self._edited_at:  # the keystrokes of one entry are one change
            self._before = self._sheets
        self._edited_at = at
        stands = super()._edited(at)
        if self._what_if is not None and self.draft is not None and self.draft.current and not self.trouble:
            self._what_if.follow()
        return stands

    def _take(self, job: Job) -> None:
        """Work a job. CodebookError where its edition and amendments don't go together."""
        house = self._house(job)
        missing = self.family.needs(job)
        sheets: Sequence[Sheet]
        sheets = about(self._worked(house), self.asked)
        if sheets and self.asked.overrides:
            house = house.with_lines(self.family.FAMILY, fitting(sheets, self.asked), self.asked.subject)
            try:
                sheets = about(self._worked(house), self.asked)
            except ValueError as error:  # a size that there isn't
                raise ParameterError("overrides", dict(self.asked.overrides), f"what can be worked: {error}") from error
        if not self.live:
            missing = missing or ([] if sheets else [OUTSIDE])
        self.house, self.missing, self._sheets, self._charts = house, missing, sheets, None

    def _worked(self, house: House) -> Sequence[Sheet]:
        """All sheets of the family for a person, those in the job's scope for a packet."""
        name = self.family.FAMILY
        if not self.live:
            return in_scope(house, scope_of(house.whole_job), name)
        return [] if self.family.needs(house.job) else sheets_of(house, name)

    def _house(self, job: Job) -> House:
        before: House | None = getattr(self, "house", None)
        if before is None:
            return House.of(job, self.asked.edition)
        bare = before.unchanged if self.asked.overrides else before
        return bare.after(job) if self.asked.edition is None else bare.with_job(job)

    def _edition(self) -> str:
        """The edition of the house; of one that can't be worked, what is asked for or the newest."""
        house: House | None = getattr(self, "house", None)
        return house.code.edition if house is not None else self.asked.edition or editions()[-1]

    def _say_what_was_asked(self) -> None:
        if self.trouble or (self.draft is None and self.live):
            return
        for note in self.asked.notes(self.job):
            display(Shown({"text/html": note_html(note), "text/plain": note}))

    def _stands(self) -> Stands:
        if self.trouble or self.missing:
            return super()._stands()
        covered = in_scope(self.house, scope_of(self.house.whole_job), self.family.FAMILY)
        return stands_of(self.house, self.family.FAMILY, self._sheets, self.groups, {s.subject for s in covered})

    def _lacks(self) -> str:
        if self.missing == [OUTSIDE]:
            return f"{self.title}: outside the scope of this job. Nothing is claimed of it."
        return super()._lacks()

    def _tables(self, label: str, tables: Callable[[], list[Table]]) -> None:
        if self.live:
            self.show(label, lambda: [(table.title, partial(table_html, table)) for table in tables()])
        elif not self.missing:
            display(*[show_table(table) for table in tables()])

    def _use(self, at: str, text: str) -> None:
        """Enter what was tried, as if it had been typed in the form: Undo takes it back."""
        if self._form is not None:
            self._form.take(at, text)

    def _turned(self) -> None:
        """Another sheet came into view: what-ifs and editions are about that one now."""
        if self._what_if is not None and self._editions is not None:
            self._what_if.follow()
            self._editions.follow()

    def _beside(self, at: str, chart: bool) -> Beside | None:
        sheet = sheet_about(self._sheets, self._entry_named(at) if at else "", self._at())
        if sheet is None or self.trouble or self.missing:
            return None
        before = next((s for s in self._before if (s.title, s.subject) == (sheet.title, sheet.subject)), None)
        changed = changes(before.as_json() if before else None, sheet.as_json())
        drawn = ""
        if chart:
            named = (each for each in self._all_charts() if sheet.subject in each.title)
            found = next(named, next(iter(self._all_charts()), None))
            drawn = chart_page(found) if found else ""
        return {"about": sheet.subject, "state": sheet.status, "tightest": tightest(sheet), "changed": changed[:MOST_CHANGES],
                "more": max(len(changed) - MOST_CHANGES, 0), "sheet": self._sheet_page(sheet), "chart": drawn}  # fmt: skip

    def _sheet_page(self, sheet: Sheet) -> str:
        same = (before for before in self._before if (before.title, before.subject) == (sheet.title, sheet.subject))
        before, now = next(map(_results, same), {}), _results(sheet)
        was = {key: before[key] for key, text in now.items() if before.get(key, text) != text}
        return sheet_html(sheet.as_json(), was)

    def _all_charts(self) -> list[Chart]:
        if self._charts is None:
            self._charts = [] if self.missing else self._drawn()
        return self._charts

    def _drawn(self) -> list[Chart]:
        """The charts of the family; before those of the conductors the diagram of how they hang together."""
        charts = self.family.charts(self.house, self._sheets)
        if self.family.FAMILY != feeder.FAMILY:
            return charts
        return [*one_line(self.house, {feeder.FAMILY: self._sheets}), *charts]

    def _in_view(self) -> Sheet | None:
        at = self._at()
        return self._sheets[at] if at < len(self._sheets) else None

    def _at(self) -> int:
        return self._sheet_view.at if self._sheet_view else 0

    def _givens(self) -> list[Given]:
        sheet = self._in_view()
        return [] if sheet is None else givens(self.job, sheet, form_of(self.family.FAMILY))

    def _by_edition(self) -> list[Thing]:
        sheet = self._in_view()
        return [] if sheet is None else [("editions", lambda: table_html(by_edition(self.job, self.family, sheet)))]


def _results(sheet: Sheet) -> dict[str, str]:
    return {line["key"]: str(line["result"]) for line in sheet.as_json()["lines"]}


def _has(sheet: Sheet, keys: Sequence[str]) -> bool:
    return all(key in sheet or any(check.key == key for check in sheet.checks) for key in keys)
