"""What a form offers while a person types: sizes and cables that are made, boxes of the table. Anything else may be typed."""

from __future__ import annotations

from functools import cache

from calc.codebook import editions, open_codebook
from calc.job import SIZES, Conductors, made_cables
from calc.job.fields import field_info
from calc.job.model import part_at

_BY_KIND = {"cable": "cables", "conductor size": "sizes"}
_BY_PLACE = {"boxes.box": "boxes", "boxes.extension": "boxes"}


def suggested(at: str, name: str) -> str:
    """The list that a field's suggestions come from; '' where it has none."""
    facts = field_info(part_at(at)[0], name)
    if facts.choices or facts.refers_to:
        return ""
    return _BY_PLACE.get(f"{at}.{name}", _BY_KIND.get(facts.kind.removeprefix("list of "), ""))


@cache
def suggestions() -> dict[str, list[str]]:
    """The lists, each in the order of its source."""
    tables = open_codebook(editions()[-1])
    return {
        "cables": list(dict.fromkeys(_written(each) for each in made_cables())),
        "sizes": list(SIZES),
        "boxes": [row["box"] for row in tables.rows("box_volumes")],
    }


def _written(cable: Conductors) -> str:
    """A cable as one would type it: '12/2 NM', '4/0-4/0-2/0 SER Al'."""
    metal = " Al" if cable.material == "aluminum" else " Cu" if "-" in cable.text else ""
    return f"{cable.text} {cable.kind}{metal}"
