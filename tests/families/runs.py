"""Jobs with one run, written as a person would write them, and the sheet of that run."""

from __future__ import annotations

from typing import Any

from calc.families import families
from calc.job import Job, parse_job
from calc.wiring.house import House
from calc.work import Sheet

LUGS_75 = {"terminations_from_c": 75, "terminations_to_c": 75}


def job(text: str, edition: str = "2023") -> Job:
    """A job from TOML without its heading."""
    return parse_job(f'[code]\nedition = "{edition}"\n[job]\nname = "test"\n{text}'.encode())


def toml(table: str, **keys: Any) -> str:
    """One table of a job file."""
    return f"[[{table}]]\n" + "".join(f"{key} = {_value(value)}\n" for key, value in keys.items() if value is not None)


def run(**keys: Any) -> str:
    """A run: a copper THHN feeder of 240 V unless said otherwise."""
    plain: dict[str, Any] = {"name": "R", "role": "feeder", "fed_from": "utility", "volts": 240, "neutral": False}
    if not keys.get("cable"):
        plain |= {"material": "copper", "insulation": "THHN", "wiring_method": "EMT"}
    return toml("runs", **plain | keys)


def worked(text: str, edition: str = "2023", family: str = "feeder", subject: str = "R") -> Sheet:
    """The sheet of a family about a subject, replayed."""
    made = job(text, edition)
    sheets = families()[family].work(House.of(made))
    sheet = next(sheet for sheet in sheets if sheet.subject == subject)
    sheet.as_json()
    return sheet


def results(text: str, edition: str = "2023") -> dict[str, Any]:
    """Results of the run R."""
    return worked(text, edition).results


def failing(sheet: Sheet) -> set[str]:
    """Keys of the checks that fall short."""
    return {check.key for check in sheet.checks if not check.holds.holds}


def remedy(sheet: Sheet, key: str) -> str:
    """The remedy that a check of the sheet names."""
    return next(check.remedy for check in sheet.checks if check.key == key)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value)
