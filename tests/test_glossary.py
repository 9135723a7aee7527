"""The glossary for those who carry the program on: each name that it gives is one of the code."""

from __future__ import annotations

import dataclasses
import re
from importlib import import_module
from pathlib import Path

import pytest

GUIDE = Path(__file__).parents[1] / "DEVELOPERS.md"


def listed() -> list[str]:
    """The dotted names of the glossary's rows."""
    section = GUIDE.read_text(encoding="utf-8").partition("\n## Words\n")[2].partition("\n## ")[0]
    return [
        name for row in section.splitlines() if row.startswith("| `") for name in re.findall(r"`(calc\.[\w.]+)`", row)
    ]


def is_there(name: str) -> bool:
    """Whether a dotted name is a module, something in it, or an attribute or field of a class in it."""
    *path, last = name.split(".")
    for cut in range(len(path), 0, -1):
        try:
            here: object = import_module(".".join(path[:cut]))
        except ImportError:
            continue
        for step in (*path[cut:], last):
            fields = {field.name for field in dataclasses.fields(here)} if dataclasses.is_dataclass(here) else set()
            if hasattr(here, step):
                here = getattr(here, step)
            elif step in fields:
                return step == last
            else:
                try:
                    here = import_module(name)
                except ImportError:
                    return False
        return True
    return False


def test_the_glossary_lists_names() -> None:
    assert len(listed()) > 20
    assert not is_there("calc.work.over")
    assert not is_there("calc.work.Sheet.instead")
    assert not is_there("calc.mends")


@pytest.mark.parametrize("name", listed())
def test_each_name_of_the_glossary_is_there(name: str) -> None:
    """A word that the code no longer has would be learnt for nothing."""
    assert is_there(name)
