"""What an object is as JSON: a table for a dataclass, a list for a tuple."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any


def plain(value: object) -> Any:
    """The value in the types of JSON alone, all the way down."""
    if is_dataclass(value):
        return {each.name: plain(getattr(value, each.name)) for each in fields(value)}
    if isinstance(value, Mapping):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return value


class Public:
    """An object that leaves the program: its fields are its public form."""

    def as_json(self) -> dict[str, Any]:
        """Its public form."""
        found: dict[str, Any] = plain(self)
        return found
