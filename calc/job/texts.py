"""Between a value of the job file and the text of a form's entry or a spreadsheet's cell, by the model's own fields."""

from __future__ import annotations

import contextlib
import datetime
import re
from collections.abc import Sequence
from typing import Any

import tomli

from calc.job.fields import FieldFacts, Part, field_info

_NUMBER = re.compile(r"[+-]?(?:\d{1,3}(?:[, ]\d{3})+|\d+)?(?:\.\d+)?", re.ASCII)
_BETWEEN = re.compile(r"[,\r\n]")  # in a spreadsheet's cell the entries of a list may stand one below the other
_NUMBERS = ("number", "whole number", "space", "length")  # a length that is not a number is a taped one, in text
_YES_NO = {"yes": True, "no": False, "true": True, "false": False}


def as_text(value: Any) -> str:
    """A value of a job file as a person would type it. Entries of a list stand between commas."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return _listed(value)
    return _inline(value) if isinstance(value, dict) else str(value)


def _listed(entries: Sequence[Any]) -> str:
    said = [as_text(entry) for entry in entries]
    plain = not any(isinstance(entry, dict) for entry in entries) and not any("," in text for text in said)
    return ", ".join(said) if plain else _inline(entries)


def _inline(value: Sequence[Any] | dict[str, Any]) -> str:
    """A list as the job file writes it, of tables or of texts with commas in them; or one table."""
    import tomlkit  # what writes alone needs it: an answer to a question starts without

    if isinstance(value, dict):
        return tomlkit.item(value).as_string()
    array = tomlkit.array()
    for entry in value:
        if isinstance(entry, dict):
            table = tomlkit.inline_table()
            table.update(entry)
            entry = table
        array.append(entry)
    return array.as_string()


def from_text(text: str, part: type[Part], name: str) -> Any:
    """What was typed, as a job file would say it. Text that fits nothing stays text: the model says what is allowed."""
    facts = field_info(part, name)
    text = text.strip()
    if not text:
        return None
    if text[0] in "[{" and (is_list(facts) or facts.kind == "table"):
        with contextlib.suppress(tomli.TOMLDecodeError):
            return tomli.loads(f"value = {text}")["value"]
    if is_list(facts):
        return [_one(item.strip(), facts) for item in _BETWEEN.split(text) if item.strip()]
    return _one(text, facts)


def is_list(facts: FieldFacts) -> bool:
    """Whether the field takes a list."""
    return facts.kind.startswith("list of ")


def _one(text: str, facts: FieldFacts) -> Any:
    kind = facts.kind.removeprefix("list of ")
    if kind == "yes or no":
        return _YES_NO.get(text.lower(), text)
    if kind in _NUMBERS:
        return _number(text)
    if facts.choices:
        return next((choice for choice in facts.choices if str(choice) == text), text)
    if kind == "date":
        with contextlib.suppress(ValueError):
            return datetime.date.fromisoformat(text)
    return text


def _number(text: str) -> Any:
    """A number, with or without commas for thousands; '18,5' is none, for it could be meant as 18.5."""
    if not _NUMBER.fullmatch(text):
        return text
    plain = text.replace(",", "").replace(" ", "")
    for reader in (int, float):
        with contextlib.suppress(ValueError):
            return reader(plain)
    return text
