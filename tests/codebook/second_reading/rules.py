"""Rules read a second time: values, bands, members and section numbers against what was gathered."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from calc.codebook.files import Rule
from tests.codebook.second_reading.gathered import at

EDITIONS = ("2017", "2020", "2023", "2026")
FILE = Path(__file__).parent / "rules.toml"
WORDS = {"one": 1, "a": 1, "single": 1, "another": 1, "two": 2, "four": 4}
Bands = tuple[tuple[float | None, float], ...]


@cache
def _said() -> dict[str, dict[str, Any]]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def value(rule: str, edition: str) -> float | None:
    """The value read a second time; None where nothing gathered has it."""
    said = _in(edition, _said()["value"].get(rule))
    return None if said is None else _number(said)


def _in(edition: str, said: Any) -> Any:
    """What holds in an edition: where editions are told apart, the last that is not later; '' there is 'not gathered'."""
    if not isinstance(said, Mapping) or not set(said) & set(EDITIONS):
        return said
    known = [said[name] for name in EDITIONS if name in said and name <= edition]
    return (known[-1] or None) if known else None


def _number(said: str) -> float:
    place, _, scale = said.partition(" * ")
    path, _, phrase = place.partition(": ")
    found: Any = at(path)
    if phrase:
        texts = found if isinstance(found, list) else [found]
        before, _, number = phrase.partition("@")
        plain = before + number
        assert any(plain in text for text in texts), f"'{plain}' is not in {path}"
        digits = re.match(r"[\d.]+(?:-\d+/\d+|/\d+)?", number)
        found = _fraction(digits[0]) if digits else WORDS[re.split(r"\W", number)[0]]
    return float(found) * float(scale or 1)


def _fraction(text: str) -> float:
    """'8-3/4' is 8.75, '7/8' 0.875."""
    whole, _, part = text.rpartition("-")
    top, _, bottom = part.partition("/")
    return float(whole or 0) + float(top) / float(bottom or 1)


def _lighting(_: str) -> Bands:
    return tuple((top, 100 * share) for top, share in at("load_calculation/lighting_demand/tiers"))


def _optional(edition: str) -> Bands:
    rule = at("load_calculation/220.82_optional_dwelling")
    return (1000 * rule["first_block_kVA"][edition], 100 * rule["first_factor"]), (None, 100 * rule["remainder_factor"])


def _existing(_: str) -> Bands:
    rule = at("load_calculation/220.83_existing/2017_2023/A_no_new_heat_AC")
    return (1000 * rule["first_kVA"], 100 * rule["first"]), (None, 100 * rule["rest"])


def _neutral(_: str) -> Bands:
    return (200, 100), (None, 100 * at("load_calculation/220.61_neutral/over_200A_factor"))


BANDS: dict[str, Callable[[str], Bands]] = {
    "lighting_tiers": _lighting,
    "optional_steps": _optional,
    "existing_steps": _existing,
    "neutral_step": _neutral,
}


def members(rule: str, edition: str) -> set[str] | None:
    """The members read a second time; None where nothing gathered has them."""
    said = _in(edition, _said()["members"].get(rule))
    if said is None:
        return None
    found = at(said["from"])
    text = str(found)
    for member, word in said["each"].items():
        assert all(part in text for part in word.split()), f"{rule}: {member} is not in {said['from']}"
    if "beside" in said:
        read = {part for word in said["each"].values() for part in word.split()} | {*said["each"].values(), *said["beside"]}  # fmt: skip
        assert all(item in read for item in found), f"{rule}: {set(found) - read} of {said['from']} is nobody's"
    return set(said["each"])


@cache
def _map() -> dict[str, dict[str, str]]:
    return {row["rule"]: row for row in at("edition_map")}


def section_agrees(rule: Rule, name: str, edition: str) -> bool | None:
    """Whether the section is that of the gathered table, or begins with a number of the map's row; None where neither
    has the rule."""
    row = _said()["section"].get(name)
    if row is None:
        return None
    if row.startswith("tables/"):
        label = str(at(row)[edition]).split(" (")[0].split(" and ")[-1]  # without remarks in brackets
        return rule.section.replace(",", "") == label
    numbers = re.findall(r"\d+\.\d+", _map()[row][edition])
    cited = re.findall(r"\d+\.\d+", rule.section)
    return bool(numbers) and bool(set(numbers) & set(cited))
