"""What the job states, as traced values: name, unit and place are those that the job model declares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from calc.codebook import Codebook, open_codebook
from calc.job import Job, Load, field_info, place
from calc.job.fields import Part
from calc.job.read import amendments_file
from calc.work import Sheet, Value, Words, carried, given

WORDS = Path(__file__).parents[1] / "families" / "words"


def read(part: Part, field: str, name: str = "") -> Value:
    """The number in a field of the job; ``name`` where the field's label alone would not tell parts apart."""
    info = field_info(part, field)
    return given(name or info.title.lower(), float(getattr(part, field)), info.unit, place(part, field))


def codebook_for(job: Job, edition: str | None = None) -> Codebook:
    """The code that the job adopts, with its amendments; or another edition, without them."""
    if edition is not None and edition != job.code.edition:
        return open_codebook(edition)
    return open_codebook(job.code.edition, [amendments_file(job.path or Path(), name) for name in job.code.amendments])


def blank_sheet(
    family: str, title: str, subject: str, code: Codebook, lines_of: str = "", manner: Sequence[str] = ()
) -> Sheet:  # fmt: skip
    """An empty sheet of a family, under the code as it stands.

    ``lines_of`` is a family whose lines it prints too; ``manner`` is how it is worked, for its words.
    """
    said = words(family, lines_of).of(*manner)
    return Sheet(family, title, subject, code.edition, said, code.amendments)


@cache
def words(family: str, lines_of: str = "") -> Words:
    """The words file of a family, read once; what it lacks may stand in that of ``lines_of``."""
    beside = words(lines_of) if lines_of else None
    return Words(WORDS / f"{family}.toml", beside)  # reading it takes longer than working a sheet


@dataclass(frozen=True)
class Counted:
    """A load of the job as the sheets use it: how many are alike, and what one is rated."""

    load: Load
    count: Value = field(compare=False)  # both follow from the load
    each: Value = field(compare=False)

    @property
    def va(self) -> Value:
        """Rating of all of them: '80 VA x 3'."""
        return self.times(self.each)

    def times(self, value: Value) -> Value:
        """A value of one of them for all of them."""
        return value * self.count if self.count.number != 1 else value

    @property
    def line_to_neutral(self) -> bool:
        """True where the load hangs between one leg and the neutral alone."""
        return self.load.connected == "line-to-neutral"


def counted(loads: Sequence[Load]) -> list[Counted]:
    """The loads that stay or come; removed ones are left out."""
    return [_counted(load) for load in loads if load.status != "removed"]


def _counted(load: Load) -> Counted:
    count = given(f"{load.name} (count)", load.count, "", place(load, "count"))
    if load.load_va is not None:
        return Counted(load, count, read(load, "load_va", load.name))
    amperes = read(load, "nameplate_a", f"{load.name} (amperes)")
    return Counted(load, count, amperes * read(load, "volts", f"{load.name} (volts)"))


def carry(sheet: Sheet, key: str, name: str, subject: str = "") -> Value:
    """A line of another sheet, used as a given under a name that says whose it is."""
    return replace(
        carried(sheet.value(key), f"{sheet.title}, {subject or sheet.subject}", sheet.number_of(key)), name=name
    )
