"""What a learner writes, read as people of the trade write it: '41.7 A', '7.452 kVA', '24 ft 6 in', '#4/0 Cu', 'passes'."""

from __future__ import annotations

import re

from calc.job import parse_inches
from calc.practice.lesson import FALLS_SHORT, PASSES, SIZE

MOST = 1e7  # no number of a dwelling comes near it
SHOWN = 40  # of what can't be read
_ANSWER = re.compile(r"\s*(-?[\d,]*\.?\d+)\s*(\D*(?:[23]\D*)?)")
_SCALES = {("VA", "kva"): 1000.0, ("VA", "kw"): 1000.0, ("VA", "w"): 1.0, ("kW", "va"): 0.001, ("kW", "w"): 0.001,
           ("kW", "kva"): 1.0, ("A", "ka"): 1000.0, ("ft", "kft"): 1000.0, ("kft", "ft"): 0.001}  # fmt: skip
_ALSO = {
    "A": "amp amps ampere amperes", "V": "volt volts", "VA": "voltampere voltamperes volt-amperes", "%": "percent pct",
    "in2": "sqin squareinches in²", "in3": "cuin cubicinches in³", "ft2": "sqft squarefeet ft²", "ohm": "ohms Ω",
}  # fmt: skip
_PASSING = {"passes", "pass", "passed", "ok", "okay", "yes", "y", "good", "allowed", "holds"}
_FAILING = {"falls short", "fall short", "short", "fails", "fail", "failed", "no", "n", "not allowed", "violation"}


def read_size(text: str) -> tuple[str | None, str]:
    """A conductor's or raceway's size as written, '4/0', '#6 Cu', '1-1/4 in'; or None and what to tell."""
    if SIZE.fullmatch(text):
        return text.strip(), ""
    return None, f"'{text.strip()[:SHOWN]}' is not a size, such as '6', '4/0 AWG' or '1-1/4'."


def read_outcome(text: str) -> tuple[str | None, str]:
    """Whether a check holds, as people say it: 'passes', 'falls short', 'yes', 'no'; or None and what to tell."""
    said = " ".join(re.findall(r"[a-z]+", text.lower()))
    if said in _PASSING:
        return PASSES, ""
    if said in _FAILING:
        return FALLS_SHORT, ""
    return None, f"'{text.strip()[:SHOWN]}' doesn't say whether it passes: write 'passes' or 'falls short'."


def read_answer(text: str, unit: str) -> tuple[float | None, str]:
    """The number in the line's unit; or None and what to tell. A unit may be left out, or be kVA for VA."""
    if unit in ("in", "ft") and (taped := _taped(text, unit)) is not None:
        return taped, ""
    found = _ANSWER.fullmatch(text)
    if found is None:
        return None, f"'{text.strip()[:SHOWN]}' is not a number with a unit, such as '{_example(unit)}'."
    number, given = float(found[1].replace(",", "")), found[2].strip()
    if abs(number) > MOST:
        return None, f"{text.strip()[:SHOWN]} is beyond anything in a house; look at the decimal point."
    bare = re.sub(r"[.\s]", "", given).lower()
    if bare in _names(unit) or (not unit and bare.isalpha()):  # '6 receptacles' where the line has no unit
        return number, ""
    if (unit, bare) in _SCALES:
        return number * _SCALES[unit, bare], ""
    return None, f"The line is {f'in {unit}' if unit else 'a plain number'}, not in {given[:SHOWN]}."


def _taped(text: str, unit: str) -> float | None:
    """A length as a tape reads it, in the line's unit."""
    try:
        return parse_inches(text.replace(",", ""), unit) / (12 if unit == "ft" else 1)
    except ValueError:
        return None


def _names(unit: str) -> set[str]:
    """How a unit may be written: not at all, by its sign or words, in the plural; 'in3' for 'in3/conductor'."""
    signs = [unit, unit.partition("/")[0]]
    words = [*signs, *(word for sign in signs for word in _ALSO.get(sign, "").split())]
    return {"", *(word.lower() for word in words), *(f"{word.lower()}s" for word in words)}


def _example(unit: str) -> str:
    return f"7,452 {unit}".strip()
