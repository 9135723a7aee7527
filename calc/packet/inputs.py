"""The job's entries as a person reads them: each by its label, with its unit, under the name of what it belongs to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calc.intake import NotTaken, toml_of
from calc.job import Job, field_info
from calc.job.fields import Part, parts_of
from calc.packet.wording import clean, clipped, printed

Json = dict[str, Any]
_NAMED_BY = ("name", "number", "kind")


def inputs(job_text: str) -> list[Json]:
    """The job's tables in the order of the file, each entry of a list for itself: its title, and what it states."""
    found = []
    for key, entries in _tables(job_text).items():
        part, listed = parts_of(Job).get(key, (Part, False))
        title = field_info(Job, key).title if key in Job.model_fields else clean(key)
        rows = [
            {"name": clipped(_name(entry) or str(place), 300), "text": _told(part, entry, _named(entry))}
            for place, entry in enumerate(entries, 1)
        ]
        if rows and key != "job":
            found.append({"title": title, "listed": listed, "rows": rows})
    return found


def card_rows(job_text: str) -> list[list[str]]:
    """What the job's card says, label by label."""
    card = next(iter(_tables(job_text).get("job", [])), {})
    part = parts_of(Job)["job"][0]
    return [[field_info(part, key).title if key in part.model_fields else clean(key), clipped(text, 110)]
            for key, value in card.items() if key != "name" for text in _texts(part, key, value)]  # fmt: skip


def _tables(job_text: str) -> dict[str, list[Mapping[str, Any]]]:
    """The tables of a job file by key, each as the list that it is or could be."""
    try:
        data = toml_of(job_text)
    except NotTaken:  # only a job that was read gets here
        return {}
    lists = {key: value if isinstance(value, list) else [value] for key, value in data.items()}
    return {key: [entry for entry in entries if isinstance(entry, Mapping)] for key, entries in lists.items()}


def _named(entry: Mapping[str, Any]) -> str:
    return next((key for key in _NAMED_BY if entry.get(key)), "")


def _name(entry: Mapping[str, Any]) -> str:
    return str(entry.get(_named(entry), ""))


def _told(part: type[Part], entry: Mapping[str, Any], without: str = "") -> str:
    """'Length 62 ft; Material copper': what a table states, but for its name."""
    return "; ".join(f"{_label(part, key)} {text}" for key, value in entry.items() if key != without
                     for text in _texts(part, key, value))  # fmt: skip


def _label(part: type[Part], key: str) -> str:
    return clean(field_info(part, key).title.lower() if key in part.model_fields else key.replace("_", " "))


def _texts(part: type[Part], key: str, value: Any) -> Iterator[str]:
    inner = parts_of(part).get(key, (Part, False))[0]
    if isinstance(value, Mapping):
        yield f"({_told(inner, value)})"
    elif isinstance(value, list) and value and all(isinstance(each, Mapping) for each in value):
        yield ", ".join(f"({_told(inner, each)})" for each in value)
    elif value != []:
        unit = field_info(part, key).unit if key in part.model_fields else ""
        each = value if isinstance(value, list) else [value]
        yield ", ".join(_one(one, unit) for one in each)


def _one(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return printed(f"{value:,.10g} {unit}".strip())
    return clean(value)
