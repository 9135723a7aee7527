"""The form of a family: drawn from the job model, editing a draft of the job file, telling what hangs on it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import anywidget
import traitlets

from calc.job import JobError, SaveConflict
from calc.job.draft import Draft
from calc.job.fields import field_info
from calc.job.forms import Group
from calc.job.merge import Conflict
from calc.job.model import Job, field_at, part_at
from calc.job.places import around, keys, value_at
from calc.job.texts import as_text, from_text
from calc.show.assets import looks, script
from calc.show.beside import Beside
from calc.show.entries import (
    described,
    entries_html,
    everything,
    in_words,
    named,
    names_in,
    pasted,
    shown_place,
    spread,
    texts,
    told_change,
    unused,
)
from calc.show.handled import ACTS
from calc.show.stands import OpenThing, Stands
from calc.show.suggested import suggestions
from calc.work.signs import with_powers

_CONFLICT = [
    ("mine", "Keep what is here"),
    ("theirs", "Take what the file says"),
    ("keep_both", "Keep both, in two files"),
]
_BESIDE = [("keep_both", "Save beside it under another name")]
_UNDECIDED = "Someone else saved another value meanwhile. Choose which one holds; nothing is saved before."
_RESTORED = "Took up unsaved entries of the last time."
_STEPS = ("undo", "redo", "save", "discard")
MOST_DRAWN = 4
"""As many drawings follow the entries at once; of those opened before, the last picture stays."""
_LISTS = ("add", "copy", "remove", "move", "paste")


class Form(anywidget.AnyWidget):
    """One widget for a family's part of the job.

    ``beside`` gives what stands beside the form for the place that is edited, with its chart or without.
    ``changed`` is called after each edit with the place that it was made at, and gives how things stand now.
    """

    _esm = script("form")
    _css = looks()
    lists = traitlets.Dict().tag(sync=True)
    spec: traitlets.List[Any] = traitlets.List().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    names = traitlets.Dict().tag(sync=True)
    problems = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)
    beside: traitlets.Dict[str, Any] = traitlets.Dict().tag(sync=True)
    drawings = traitlets.Dict().tag(sync=True)
    answers = traitlets.Int(0).tag(sync=True)

    def __init__(
        self,
        draft: Draft,
        groups: Sequence[Group],
        changed: Callable[[str], Stands],
        stands: Stands,
        beside: Callable[[str, bool], Beside | None] = lambda at, chart: None,
        drawn: Callable[[str], dict[str, Any]] = lambda at: {},
    ) -> None:
        self.draft, self.groups, self.changed, self._stands = draft, spread(groups), changed, stands
        self._beside, self._about = beside, ""
        self._drawn, self._opened = drawn, dict[str, None]()
        super().__init__(spec=described(self.groups), lists=suggestions())
        self._show_beside()
        self._tell(_RESTORED if draft.restored else "")
        self.on_msg(self._heard)

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        """Act, then tell everything in one message: what was said, what is wrong, how things stand."""
        before = self.draft.data
        said = ""
        choices: Sequence[tuple[str, str]] = ()
        try:
            said = self.act(message)
        except SaveConflict:
            said = _UNDECIDED
        except JobError as error:
            said = "Not saved: " + ("correct the entries first." if self.draft.problems else str(error))
            choices = [] if self.draft.problems else _BESIDE
        except (KeyError, ValueError, IndexError) as error:
            said = f"That could not be done: {error.args[0] if error.args else error}"
        if message["kind"] == "about":
            self._about = str(message["at"])
            self._show_beside(chart=bool(message.get("chart")))
            self.answers += 1
            return
        if message["kind"] == "look" and not said:
            self.answers += 1  # what was told before still holds
            return
        if self.draft.data is not before:
            self._about = message.get("at") or self._about
            self._stands = self.changed(message.get("at", ""))
            self._show_beside()
        self._tell(said, choices)

    def _show_beside(self, chart: bool = False) -> None:
        """What stands beside the form; the chart only where it was asked for: it costs as much as all else."""
        if not self.draft.problems:
            self.beside = dict(self._beside(self._about, chart) or {})

    def take(self, at: str, text: str) -> None:
        """Enter a text at a place, as the page would."""
        self._heard(self, {"kind": "set", "at": at, "text": text}, [])

    def take_all(self, changes: Mapping[str, Any]) -> bool:
        """Enter several values at once, as a job file writes them, in one step for Undo. False where they are no job now."""
        try:
            self.draft.change(changes)
        except (KeyError, IndexError):  # the job has changed since they were proposed
            return False
        self._stands = self.changed(next(iter(changes), ""))
        self._show_beside()
        self._tell("")
        return True

    def picture(self) -> str:
        """The entries as they stand, to be read where the form can't be used."""
        return entries_html(self.draft.data, self.groups)

    def act(self, message: dict[str, Any]) -> str:
        """Do what the page asks; gives what to say of it. JobError and SaveConflict as the draft raises them.

        KeyError, IndexError or ValueError for what can't be done, such as a place that no job has.
        """
        kind, draft = message["kind"], self.draft
        if kind == "set":
            return self._set(str(message["at"]), str(message["text"]), message.get("visit"))
        if kind in _LISTS:
            draft.put_list(message["at"], self._rows(message))
        elif kind in ACTS:
            self._by_hand(message)
        elif kind == "draw":
            self._opened = {**dict(list(self._opened.items())[-MOST_DRAWN + 1 :]), str(message["at"]): None}
        elif kind == "about":
            return ""
        elif kind == "look":
            return self._look()
        elif kind in ("mine", "theirs"):
            draft.decide(kind == "mine", message.get("at"))
        elif kind == "keep_both":
            return f"Saved beside it as {draft.keep_both().name}, job {draft.job.job.name}."
        elif kind in _STEPS:
            before = draft.data
            getattr(draft, kind)()
            return "Saved." if kind == "save" else self._taken(kind, before)
        return ""

    def _look(self) -> str:
        """Take in what others saved, and what a form that is gone had left."""
        before = self.draft.data
        if self.draft.adopt():
            return _RESTORED
        return self._taken("look", before) if self.draft.look() else ""

    def _set(self, at: str, text: str, visit: object) -> str:
        """Enter a text; what another kind does not use goes with it, and that is said."""
        part, name = field_at(at)
        if part is Job:
            raise KeyError(f"{at} is a table, not an entry")
        if as_text(value_at(self.draft.data, at)) == text.strip():
            return ""
        value = from_text(text, part, name)
        gone = unused(at, value, value_at(self.draft.data, around(at)))
        changes = {at: value, **{f"{around(at)}.{key}": None for key in gone}}
        self.draft.change(changes, joining=(at, visit) if visit is not None else None)
        return (
            f"Took out what {as_text(value).replace('-', ' ')} does not use: {'; '.join(gone.values())}."
            if gone
            else ""
        )

    def _by_hand(self, message: Mapping[str, Any]) -> None:
        """What was done in a drawing. ValueError while an entry is wrong: what is drawn may not be what is entered."""
        if self.draft.problems:
            raise ValueError("correct the entries first")
        visit = message.get("visit")
        changes = ACTS[message["kind"]](self.draft.job, message)
        self.draft.change(changes, joining=(message["at"], visit) if visit is not None else None)

    def _rows(self, message: dict[str, Any]) -> list[dict[str, Any]]:
        """The list after one act on it."""
        place = message["at"]
        rows: list[dict[str, Any]] = self.draft.rows(place)
        names = dict(self.groups)[".".join(keys(place))]
        kind, at = message["kind"], int(message.get("index") or 0)
        if kind == "paste":
            return [*rows, *pasted(message["text"], place, names)]
        if kind == "add":
            title = field_info(part_at(place)[0], "name").title if "name" in names else ""
            return [*rows, {"name": _free_name(title, rows, 1)} if title else {}]
        if kind == "copy":
            twin = dict(rows[at])
            if "name" in twin:
                twin["name"] = _free_name(str(twin["name"]), rows, 2)
            return [*rows[: at + 1], twin, *rows[at + 1 :]]
        row = rows.pop(at)
        if kind == "move":
            rows.insert(int(message["to"]), row)
        return rows

    def _taken(self, kind: str, before: dict[str, Any]) -> str:
        """What undo, redo or another hand changed, said in the form's own words."""
        what = {
            "undo": "Took back",
            "redo": "Did again",
            "look": "Someone else saved this job",
            "discard": "Back to what was saved",
        }[kind]
        was, now = self._both_texts(before)
        places = [at for at in {**was, **now} if was.get(at) != now.get(at)]
        if len(places) == 1 and not places[0].endswith("#"):
            return f"{what}: {named(places[0], self.draft.data)} is now {now[places[0]] or 'empty'}."
        return f"{what}: {told_change(was, now)}." if places else f"{what}."

    def _both_texts(self, before: dict[str, Any]) -> tuple[dict[str, str], dict[str, str]]:
        """What the job said before and says now, in the places of the form; in all places where those are alike."""
        was, now = texts(before, self.groups), texts(self.draft.data, self.groups)
        if was != now:
            return was, now
        return texts(before, everything()), texts(self.draft.data, everything())

    def _tell(self, said: str, choices: Sequence[tuple[str, str]] = ()) -> None:
        draft = self.draft
        values = texts(draft.data, self.groups)
        beside: dict[str, list[str]] = {}
        elsewhere = []
        for at, text in draft.problems.items():
            if place := shown_place(at, values):
                beside.setdefault(place, []).append(_further(draft.data, place, at) + text)
            else:
                elsewhere.append(f"{at}: {text}" if at else text)
        with self.hold_sync():
            if not draft.problems:
                self.drawings = {at: self._drawn(at) for at in self._opened}
            self.values, self.names = values, names_in(draft.data, self.groups)
            self.problems = {place: with_powers(" ".join(found)) for place, found in beside.items()}
            self.answers += 1
            self.state = {
                "job": draft.job.job.name, "file": str(draft.path), "said": said, "stands": self._shown_stands(values),
                "elsewhere": elsewhere, "wrong": len(draft.problems), "dirty": draft.dirty, "undo": draft.can_undo,
                "undoes": told_change(*self._both_texts(draft.before)) if draft.can_undo else "",
                "redo": draft.can_redo, "save": draft.dirty and draft.current,
                "choices": [list(choice) for choice in (_CONFLICT if draft.conflicts else choices)],
                "conflicts": [list(self._both_said(each)) for each in draft.conflicts],
                "kept": draft.kept.strftime("%H:%M") if draft.kept else "",
            }  # fmt: skip

    def _both_said(self, each: Conflict) -> tuple[str, str, str, str]:
        """A place that two people changed, its name, and what each of them says there."""
        mine, theirs = (in_words(value) for value in (each.mine, each.theirs))
        return each.at, named(each.at, self.draft.data), mine, theirs

    def _shown_stands(self, values: dict[str, str]) -> Stands:
        """How things stand, each open thing with the place of this form where it is entered."""
        found: list[OpenThing] = [{**each, "at": shown_place(each["at"], values)} for each in self._stands["open"]]
        return {"state": self._stands["state"], "said": self._stands["said"], "open": found}


def _further(data: dict[str, Any], place: str, at: str) -> str:
    """What lies between the entry of the form and the wrong thing in it: 'no. 2: ' in a list of several."""
    rest = at[len(place) :].lstrip(".")
    number = re.fullmatch(r"\[(\d+)\]", rest)
    if number is None:
        return f"{rest}: " if rest else ""
    return f"no. {number[1]}: " if len(value_at(data, place) or []) > 1 else ""


def _free_name(wanted: str, rows: list[dict[str, Any]], first: int) -> str:
    """A name that no row has yet: 'Box 1', 'Box 2'."""
    taken = {row.get("name") for row in rows}
    stem = re.sub(r" \d+$", "", wanted)[:70]
    return next(name for number in range(first, len(rows) + 3) if (name := f"{stem} {number}") not in taken)
