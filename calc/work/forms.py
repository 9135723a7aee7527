"""The public JSON form of a sheet: what ``as_json`` gives. ``studbay schema --of sheet`` prints it as a JSON Schema.

Fields are added freely; a change of what one means has a new version.
"""

from __future__ import annotations

from typing import Literal

from typing_extensions import TypedDict

from calc.work.status import Status


class SheetForm(TypedDict):
    """Shown work of one calculation for one subject."""

    schema_version: Literal[2]
    family: str
    """The calculation, such as 'voltage-drop'."""
    title: str
    subject: str
    """What it is about: a run, a circuit, a box, a room, a panel, or the job itself."""
    edition: str
    """Edition of the code that it was worked under."""
    amendments: list[str]
    """Titles of the local amendments laid over the edition."""
    lines: list[LineForm]
    checks: list[CheckForm]
    not_shown: list[NotShownForm]
    """Requirements that can't be told met or unmet until an entry is made."""
    status: Status
    """What the sheet comes to."""
    results: dict[str, float | str | bool | list[str]]
    """Each line's value by its key, in the unit that the key ends in. Beside them: 'passes' where anything is checked;
    'refused' with the reason; 'from_memory', 'unconfirmed' and 'amended' with the keys of lines that rest on such a value."""
    givens: list[GivenForm]
    rules: list[RuleForm]
    cautions: list[str]
    """What the sheet does not cover, and who decides."""
    notes: list[NoteForm]
    refused: RefusedForm | None
    """Why the calculation is not worked, or not in full."""


class LineForm(TypedDict):
    """One numbered step."""

    number: int
    key: str
    """Its name for machines, unique on the sheet: 'drop_v', 'dryer_va[Dryer]'."""
    kind: Literal["worked", "looked up", "found", "replaced"]
    name: str
    formula: str
    """The step with names."""
    numbers: str
    """The step with numbers; of a line that was found, the comparisons that it rests on."""
    result: str
    """The result as printed, with its unit."""
    value: float | str | None
    """The result as a number in ``unit``, or as a word; null where the line states what was found."""
    unit: str
    sections: list[str]
    """Sections of the code that the step rests on."""
    marks: list[int]
    """Notes that belong to it."""
    uses: list[str]
    """Keys of the earlier lines in it."""
    lookup: LookupForm | None
    reason: str
    """Why the step is done, in plain words."""
    expected_range: ExpectedForm | None


class LookupForm(TypedDict):
    """The cell of a table that a line was read from."""

    table: str
    file: str
    row: dict[str, float | str]
    column: str


class RangeForm(TypedDict):
    """A rule of thumb, which decides nothing."""

    low: float
    high: float
    unit: str
    outside: bool
    text: str


class ExpectedForm(RangeForm):
    """A rule of thumb beside a result, which decides nothing."""

    mark: int
    """The note with its basis."""


class CheckForm(TypedDict):
    """What is required against what is provided."""

    key: str
    name: str
    text: str
    """What is provided and what is required or allowed, in words: '55 A provided, 52 A required'."""
    provided: SideForm
    sign: Literal[">=", "<=", ">", "<"]
    required: SideForm
    passes: bool
    sections: list[str]
    marks: list[int]
    remedy: str
    """The smallest change that would put it right; '' where it passes or none is known."""
    reason: str


class SideForm(TypedDict):
    """One side of a check."""

    name: str
    numbers: str
    value: float
    unit: str


class NotShownForm(TypedDict):
    """A requirement that waits for an entry."""

    key: str
    name: str
    missing: str
    """What to enter, in words."""
    at: str
    """Its place in the job file."""
    sections: list[str]
    marks: list[int]
    reason: str


class GivenForm(TypedDict):
    """A value that the sheet took as given."""

    name: str
    value: float
    text: str
    at: str
    """Its place in the job file, 'loads[3].load_va', or the line of another sheet."""


class RuleForm(TypedDict):
    """A rule of the code that the sheet cites."""

    rule: str
    section: str
    words: str
    """What it says, in our words."""
    confidence: str
    """A to D and U, as DEVELOPERS.md says."""
    set_by: str
    """The file that sets it."""
    marks: list[int]


class NoteForm(TypedDict):
    """A numbered note: an amended or unconfirmed value, a reading that was chosen, a rule of thumb."""

    mark: int
    kind: str
    text: str


class RefusedForm(TypedDict):
    """Why a calculation is not worked or not shown."""

    reason: str
    sections: list[str]
    missing: str | None
    """The place of the entry that is missing, '' where it has none; null where it is outside what is supported."""


StepForm = LineForm | CheckForm | NotShownForm
"""Anything on a sheet with a name, a reason, sections and notes."""
