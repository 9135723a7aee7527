"""Between what a person types in a form and what a job file says, by the job model's own field declarations."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

from calc.job.fields import MOST_ITEMS, Needs, Part, field_info, keys_of, parts_of
from calc.job.forms import Group, recorded_in, shown_for
from calc.job.model import Job, field_at, part_at
from calc.job.places import ANOTHER, around, keys, value_at
from calc.job.texts import as_text, from_text, is_list
from calc.show.handled import DRAWN
from calc.show.html import table_html
from calc.show.suggested import suggested
from calc.work.signs import with_powers
from calc.work.table import Table, columns
from calc.work.units import COUNTS

ONE_MORE = f"[{ANOTHER}]"


def spread(groups: Sequence[Group]) -> list[Group]:
    """The groups, and after each the lists inside it as groups of their own: walls of rooms, devices of boxes.

    A list inside shows all its plain fields, unless it stands among the groups with fields of its own choice.
    """
    named = {at for at, _ in groups}
    return [inner for group in groups for inner in _spread(group, named)]


@cache
def everything() -> list[Group]:
    """Each table of a job with all its fields, and the lists inside them."""
    return spread([(at, tuple(keys_of(part))) for at, (part, _) in parts_of(Job).items()])


def _spread(group: Group, named: set[str]) -> Iterator[Group]:
    at, names = group
    part = part_at(at)[0]
    inside = parts_of(part)
    yield at, tuple(name for name in names if name not in inside)
    for name in (name for name in names if name in inside and f"{at}.{name}" not in named):
        fields = inside[name][0].model_fields
        needed_first = sorted(keys_of(inside[name][0]), key=lambda field: not fields[field].is_required())
        yield from _spread((f"{at}.{name}", tuple(needed_first)), named)


def described(groups: Sequence[Group]) -> list[dict[str, Any]]:
    """What the form draws: each group with its title and its fields, as JSON. `within` are the lists around it."""
    return [
        {
            "title": _title(at), "own": _own_title(at), "at": at, "list": part_at(at)[1], "one": _one(at),
            "drawn": _has_drawing(at, groups), "recorded": recorded_in(at, groups),
            "within": [outer for outer in _around(at) if part_at(outer)[1]],
            "fields": [_field(at, part_at(at)[0], name) for name in names],
        }
        for at, names in groups
    ]  # fmt: skip


def _has_drawing(at: str, groups: Sequence[Group]) -> bool:
    """Whether an entry of the list has a drawing that can be worked in: where the form shows what it moves."""
    shown = {each for each, _ in groups}
    return at in DRAWN and not shown.isdisjoint((DRAWN[at], f"{at}.{DRAWN[at]}"))


def _title(at: str) -> str:
    outer = at.rpartition(".")[0]
    inside_a_list = "." in outer and part_at(outer)[1]
    return f"{_own_title(at)} of {_own_title(outer).lower()}" if inside_a_list else _own_title(at)


def _own_title(at: str) -> str:
    return field_info(*field_at(at)).title


def _one(at: str) -> str:
    """What an entry of the list is called: by the label of its name or of its kind, or by the list's own title."""
    fields = part_at(at)[0].model_fields
    if first := next((name for name in ("name", "kind") if name in fields), ""):
        return field_info(part_at(at)[0], first).title
    several = _own_title(at)
    return several.removesuffix("ies") + "y" if several.endswith("ies") else several.removesuffix("s")


def _around(at: str) -> list[str]:
    along = keys(at)
    return [".".join(along[:number]) for number in range(1, len(along))]


def _field(at: str, part: type[Part], name: str) -> dict[str, Any]:
    facts = field_info(part, name)
    needs = [rule.other for rule in getattr(part, "presence", ()) if isinstance(rule, Needs) and rule.key == name]
    mutual = any(
        isinstance(rule, Needs) and (rule.key, rule.other) in ((other, name) for other in needs)
        for rule in part.presence
    )
    choices = () if is_list(facts) else ("yes", "no") if facts.kind == "yes or no" else facts.choices
    return {
        "key": name,
        "label": facts.title,
        "unit": "" if facts.unit in COUNTS else with_powers(facts.unit),  # the label of a count says what is counted
        "help": facts.help,
        "required": facts.required,
        "standard": "" if isinstance(facts.default, Part) else as_text(facts.default),
        "choices": [str(choice) for choice in choices],
        "number": facts.kind in ("number", "whole number"),
        "least": facts.least,
        "most": facts.most,
        "type": "date" if facts.kind == "date" else "text",
        "names": list(facts.refers_to),
        "suggest": suggested(at, name),
        "many": is_list(facts),
        "needs": needs[0] if needs and not mutual else "",
        "only": {"kind": list(facts.only_for)} if facts.only_for else shown_for(at, name),
        "strict": bool(facts.only_for),
    }


def texts(data: dict[str, Any], groups: Sequence[Group]) -> dict[str, str]:
    """Each shown place of a job's data as text, and under 'boxes#' how many entries a list has."""
    said: dict[str, str] = {}
    for at, names in groups:
        many = part_at(at)[1]
        for place in _places(data, at):
            here = value_at(data, place)
            if many:
                entries = here if isinstance(here, list) else []
                said[f"{place}#"] = str(len(entries))
            else:
                entries = [here]
            for number, entry in enumerate(entries, 1):
                front, table = f"{place}[{number}]" if many else place, entry if isinstance(entry, dict) else {}
                said.update((f"{front}.{name}", as_text(table.get(name))) for name in names)
    return said


def _places(data: dict[str, Any], at: str) -> list[str]:
    """A place with the number of each list around it: 'boxes.devices' -> 'boxes[1].devices', 'boxes[2].devices'."""
    places = [""]
    for outer in _around(at):
        places = [f"{place}{outer.rpartition('.')[2]}" for place in places]
        if part_at(outer)[1]:
            places = [f"{place}[{number}]" for place in places for number in _numbers(value_at(data, place))]
        places = [f"{place}." for place in places]
    return [f"{place}{at.rpartition('.')[2]}" for place in places]


def _numbers(entries: Any) -> range:
    return range(1, len(entries) + 1) if isinstance(entries, list) else range(0)


def entries_html(data: dict[str, Any], groups: Sequence[Group]) -> str:
    """What is entered, as tables to read: one of each group that has something, a row an entry of a list."""
    said = texts(data, groups)
    return "".join(table_html(table) for at, names in groups for table in _entered(said, at, names))


def _entered(said: dict[str, str], at: str, names: Sequence[str]) -> Iterator[Table]:
    """The tables of one group: of a list inside others, one for each list."""
    part, many = part_at(at)
    labels = {name: _label(part, name) for name in names}
    found: dict[str, dict[str, dict[str, str]]] = {}
    for place, text in said.items():
        front, _, name = place.rpartition(".")
        if text and name in labels and _without_numbers(front) == at:
            found.setdefault(around(front) if many else front, {}).setdefault(front, {})[name] = text
    for place, entries in found.items():
        outer = said.get(f"{around(place)}.name", "") if many and "." in place else ""
        title = f"{_title(at)}: {outer}" if outer else _title(at)
        if many:
            used = [name for name in names if any(name in entry for entry in entries.values())]
            rows = [[entry.get(name, "") for name in used] for entry in entries.values()]
            yield Table(title=title, intro="", columns=columns(*[labels[name] for name in used]), rows=rows)
        else:
            rows = [[labels[name], text] for name, text in entries[place].items()]
            yield Table(title=title, intro="", columns=columns("Entry", "As entered"), rows=rows)


def _label(part: type[Part], name: str) -> str:
    facts = field_info(part, name)
    unit = "" if facts.unit in COUNTS else with_powers(facts.unit)
    return f"{facts.title}, {unit}" if unit else facts.title


def _without_numbers(place: str) -> str:
    return ".".join(keys(place))


def told_change(before: dict[str, str], after: dict[str, str]) -> str:
    """What differs between two states of a form, in its own words: 'Floor area', 'Boxes: B3 removed', 'Runs: order'."""
    places = [at for at in {**before, **after} if before.get(at) != after.get(at)]
    lists: dict[str, str] = {}
    for at in places:
        if "[" in at or at.endswith("#"):
            lists.setdefault(re.split(r"[\[#]", at)[0], at)
    told = [_told_list(outer, before, after) for outer in lists]
    told += [field_info(*field_at(at)).title for at in places if "[" not in at and not at.endswith("#")]
    return "; ".join(told)


def _told_list(outer: str, before: dict[str, str], after: dict[str, str]) -> str:
    """What differs in one list: entries that came and went, by name, else the fields of the entry that changed."""
    was, now = (
        [_called(said, f"{outer}[{n}]") for n in range(1, int(said.get(f"{outer}#") or 0) + 1)]
        for said in (before, after)
    )
    title = _own_title(outer)
    came, went = [each for each in now if each not in was], [each for each in was if each not in now]
    if len(was) != len(now):
        parts = [f"{', '.join(names)} {how}" for names, how in ((came, "added"), (went, "removed")) if names]
        return f"{title}: {', '.join(parts) or f'{len(now)} in place of {len(was)}'}"
    if sorted(was) == sorted(now) and was != now:
        return f"{title}: order"
    places = [at for at in {**before, **after} if at.startswith(f"{outer}[") and before.get(at) != after.get(at)]
    entries = list(dict.fromkeys(at[: at.index("]") + 1] for at in places))
    if len(entries) > 1:
        return f"{title}: {len(entries)} entries"
    fields = dict.fromkeys(_own_title(_without_numbers(at.rstrip("#"))) for at in places)
    return f"{_called(after, entries[0])}, {', '.join(fields)}"


def _called(said: dict[str, str], entry: str) -> str:
    return said.get(f"{entry}.name") or said.get(f"{entry}.kind") or f"no. {entry[entry.index('[') + 1 : -1]}"


def names_in(data: dict[str, Any], groups: Sequence[Group]) -> dict[str, list[str]]:
    """The names that entries may refer to, by list: of panels, of circuits, of a room's walls ('rooms[2].walls')."""
    wanted = {
        (at if list_at.startswith(".") else "", list_at)
        for at, names in groups
        for name in names
        for list_at in field_info(part_at(at)[0], name).refers_to
    }
    found: dict[str, list[str]] = {}
    for at, list_at in wanted:
        outer = [place.rpartition(".")[0] for place in _places(data, at)] if at else [""]
        for place in (f"{front}.{list_at.lstrip('.')}" if front else list_at for front in outer):
            entries = value_at(data, place)
            found[place] = [str(e["name"]) for e in entries or [] if isinstance(e, dict) and e.get("name")]
    return found


def shown_place(at: str, values: dict[str, str]) -> str:
    """The place of the form that a problem belongs beside: its own, or the nearest around it; '' where none is shown."""
    while (
        at and not any(place in values for place in (at, f"{at}#")) and not any(v.startswith(f"{at}.") for v in values)
    ):
        at = around(at)
    return at


def pasted(text: str, at: str, names: Sequence[str]) -> list[dict[str, Any]]:
    """Rows copied from a spreadsheet, tabs between cells. A first row of field names or labels sets the columns.

    ValueError for more rows than a list of a job may have.
    """
    part, _ = part_at(at)
    rows = [row for row in csv.reader(io.StringIO(text), delimiter="\t") if any(cell.strip() for cell in row)]
    if len(rows) > MOST_ITEMS:
        raise ValueError(f"{len(rows):,} rows were not pasted; a list takes up to {MOST_ITEMS:,}")
    columns = list(names)
    labels = {field_info(part, name).title.lower(): name for name in names}
    own = {name: name for name in names}
    heads = [cell.strip().lower().partition(",")[0] for cell in rows[0]] if rows else []
    # of a box, "Box" is the label of its name and the key of its kind: a heading is of labels or of keys as a whole
    heading = max(
        ([known.get(head) for head in heads] for known in (labels, own, own | labels)),
        key=lambda found: len(found) - found.count(None),
    )
    if heading and len([name for name in heading if name]) > len(heading) / 2:
        if None in heading:
            raise ValueError(f'no column is called "{rows[0][heading.index(None)].strip()}" here; leave it out')
        columns, rows = [str(name) for name in heading], rows[1:]
    entries = []
    for row in rows:
        entry = {name: from_text(cell, part, name) for name, cell in zip(columns, row, strict=False)}
        entries.append({name: value for name, value in entry.items() if value is not None})
    return entries


def named(at: str, data: dict[str, Any]) -> str:
    """The name of a place as a form says it: 'Range, Nameplate load'; of an entry that is to be made, 'Circuits, a new one'."""
    if at.endswith(ONE_MORE):
        return f"{_own_title(_without_numbers(at.removesuffix(ONE_MORE)))}, a new one"
    entry = value_at(data, at[: at.rindex("]") + 1]) if "]" in at else None
    name = str(entry.get("name", "")) if isinstance(entry, dict) else ""
    title = field_info(*field_at(at)).title if not at.endswith("]") else ""
    return ", ".join(filter(None, (name, title)))


def in_words(value: Any) -> str:
    """A value of a job file in words; a list of entries by how many they are."""
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return f"{len(value)} {'entry' if len(value) == 1 else 'entries'}"
    return as_text(value) if value is not None else "nothing"


def entered(at: str, value: Any, data: dict[str, Any]) -> str:
    """What is entered at a place, in a line: 'B2, Marked volume: 20.25'; of a table, each of its fields."""
    if not isinstance(value, dict):
        return f"{named(at, data)}: {in_words(value)}"
    part = part_at(at.removesuffix(ONE_MORE))[0]
    return f"{named(at, data)}: {'; '.join(f'{field_info(part, key).title} {in_words(each)}' for key, each in value.items())}"


def unused(at: str, kind: Any, entry: Any) -> dict[str, str]:
    """What an entry has that another kind of it does not use, by key, each with its label and value; ``at`` is its kind."""
    part, name = field_at(at)
    if name != "kind" or not isinstance(entry, dict):
        return {}
    table = _without_numbers(around(at))
    facts = {key: field_info(part, key) for key in entry if key in part.model_fields}
    kinds = {key: each.only_for or shown_for(table, key).get("kind", ()) for key, each in facts.items()}
    return {
        key: f"{facts[key].title}, {as_text(entry[key])}" for key, some in kinds.items() if some and kind not in some
    }
