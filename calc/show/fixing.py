"""The fix list for a person at the page: each thing with the way to its entry, each correction to be used and taken back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import traitlets
from typing_extensions import TypedDict

from calc.job.forms import form_of
from calc.job.spoken import for_a_reader
from calc.remedies.lists import FixList, Item
from calc.show.assets import script
from calc.show.entries import entered
from calc.show.live import Slow
from calc.show.where import entry_named, page_with, pages_of
from calc.work import FALLS_SHORT, Status
from calc.work.signs import with_powers

USED = "Entered for {what}: {remedy}. Undo above takes it back. This list is of before: work it again for the next."


class Fixable(TypedDict):
    """One thing of the fix list, as the page shows it."""

    number: int
    grade: str
    state: Status
    where: str
    what: str
    there: str
    needed: str
    remedy: str
    enters: list[str]
    """What the correction enters, a line a place; nothing where no correction is proved."""
    others: list[str]
    along: list[str]
    trade: str
    page: str
    at: str


class Fixes(Slow):
    """The fix list, worked beside the page. ``use`` enters a correction in the job, undoable; ``data`` is the job's now."""

    _esm = script("fixes")
    items: traitlets.List[Any] = traitlets.List().tag(sync=True)

    def __init__(
        self,
        work: Callable[[], FixList],
        draw: Callable[[FixList], str],
        data: Callable[[], dict[str, Any]],
        use: Callable[[Mapping[str, Any]], bool],
        done: Callable[[], None],
    ) -> None:
        self._use = use
        self._corrections: dict[int, Item] = {}

        def listed() -> str:
            found, now = work(), data()
            items = [(grade.name, item) for grade in found.groups for item in grade.items]
            self._corrections = {item.number: item for _, item in items if item.changes}
            self.items = [fixable(name, item, now) for name, item in items]
            return draw(found)

        super().__init__("Fix list", listed, done)

    def _asked(self, message: dict[str, Any]) -> None:
        if message["kind"] != "use":
            super()._asked(message)
        elif not (
            self.said or self.working
        ):  # places of a list that is not current may be those of other entries by now
            item = self._corrections[int(message["number"])]
            if self._use(item.changes):
                self.said = USED.format(what=item.about or item.where, remedy=with_powers(for_a_reader(item.remedy)))


def fixable(grade: str, item: Item, data: dict[str, Any]) -> Fixable:
    """An item as the page shows it, with the page and the entry to go to."""
    at = next((at for at in item.changes if "[+]" not in at), "") or entry_named(item.about, data, form_of(item.family))
    page, at = page_with(at, item.family, pages_of())
    return {
        "number": item.number, "grade": grade, "state": item.status,
        "where": ": ".join(part for part in (item.where, item.about) if part),
        "what": f"{item.what[:1].upper()}{item.what[1:]}", "there": with_powers(item.there),
        "needed": f"{'Needed' if item.status == FALLS_SHORT else 'Why'}: {with_powers(for_a_reader(item.needed))}" if item.needed else "",
        "remedy": with_powers(for_a_reader(item.remedy or item.asked)),
        "enters": [entered(each, value, data) for each, value in item.changes.items()],
        "others": [with_powers(for_a_reader(other)) for other in item.others], "along": list(item.along), "trade": item.trade,
        "page": page, "at": at,
    }  # fmt: skip
