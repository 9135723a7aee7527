"""The form of a family: drawn from the job model, editing a draft of the job file, telling what hangs on it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from calc.job import JobError, SaveConflict
from calc.job.draft import Draft
from calc.job.texts import from_text
from calc.show.entries import Group, described, part_at, pasted, texts
from calc.show.style import style

_PLACE = re.compile(r"(.+?)(?:\[(\d+)\])?\.(\w+)")
_CONFLICT = [("reload", "Take the file's version"), ("keep_both", "Keep both"), ("overwrite", "Overwrite the file")]


def _css() -> str:
    template = (Path(__file__).parent / "form.css").read_text(encoding="utf-8")
    for name, colour in style()["colours"].items():
        template = template.replace(f"@{name}@", colour)
    return template


class Form(anywidget.AnyWidget):
    """One widget for a family's part of the job. `changed` is called after each edit that was taken in."""

    _esm = Path(__file__).parent / "form.js"
    _css = _css()
    spec: traitlets.List[Any] = traitlets.List().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    problems = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)
    shape = traitlets.Int(0).tag(sync=True)

    def __init__(self, draft: Draft, groups: Sequence[Group], changed: Callable[[], None]) -> None:
        self.draft, self.groups, self.changed = draft, list(groups), changed
        super().__init__(spec=described(groups), values=texts(draft.data, groups))
        self._tell("Took up unsaved edits of the last time." if draft.restored else "")
        self.on_msg(self._heard)

    def _heard(self, _: Any, message: dict[str, Any], __: Any) -> None:
        try:
            said = self.act(message)
        except SaveConflict:
            self._tell("The file was changed by someone else since it was opened.", _CONFLICT)
            return
        except (JobError, KeyError) as error:
            self._tell(str(error))
            return
        self._show(redraw=message["kind"] != "set")
        self._tell(said)
        self.changed()

    def act(self, message: dict[str, Any]) -> str:
        """Do what the page asks; gives what to say of it. JobError and SaveConflict as the draft raises them."""
        kind, draft = message["kind"], self.draft
        if kind == "set":
            at = message["at"]
            place = _PLACE.fullmatch(at)
            assert place is not None
            draft.change({at: from_text(message["text"], part_at(place[1])[0], place[3])})
        elif kind in ("add", "copy", "remove", "move", "paste"):
            draft.put_list(message["at"], self._rows(message))
        elif kind in ("undo", "redo", "reload", "save", "overwrite"):
            getattr(draft, kind)()
        elif kind == "keep_both":
            return f"Saved beside it as {draft.keep_both().name}."
        return "Saved." if kind in ("save", "overwrite") else ""

    def _rows(self, message: dict[str, Any]) -> list[dict[str, Any]]:
        """The list after one act on it."""
        rows: list[dict[str, Any]] = self.draft.rows(message["at"])
        names = dict(self.groups)[message["at"]]
        kind, at = message["kind"], int(message.get("index") or 0)
        if kind == "paste":
            return [*rows, *pasted(message["text"], message["at"], names)]
        if kind == "add":
            return [*rows, {"name": _free_name("New", rows)} if "name" in names else {}]
        if kind == "copy":
            twin = dict(rows[at])
            if "name" in twin:
                twin["name"] = _free_name(str(twin["name"]), rows)
            return [*rows[: at + 1], twin, *rows[at + 1 :]]
        row = rows.pop(at)
        if kind == "move":
            rows.insert(int(message["to"]), row)
        return rows

    def _show(self, redraw: bool) -> None:
        with self.hold_sync():
            self.values = texts(self.draft.data, self.groups)
            if redraw:
                self.shape += 1

    def _tell(self, said: str, choices: Sequence[tuple[str, str]] = ()) -> None:
        draft = self.draft
        parts = [said] if said else []
        if draft.problems:
            parts.append(f"{len(draft.problems)} entries to mend; the sheet below shows the last good ones.")
        parts.append("Unsaved changes." if draft.dirty else "Nothing unsaved.")
        with self.hold_sync():
            self.problems = dict(draft.problems)
            self.state = {
                "text": " ".join(parts), "undo": draft.can_undo, "redo": draft.can_redo,
                "save": draft.dirty and draft.current, "choices": [list(choice) for choice in choices],
            }  # fmt: skip


def _free_name(wanted: str, rows: list[dict[str, Any]]) -> str:
    taken = {row.get("name") for row in rows}
    stem = re.sub(r" \d+$", "", wanted)
    return next(name for number in range(2, len(rows) + 3) if (name := f"{stem} {number}") not in taken)
