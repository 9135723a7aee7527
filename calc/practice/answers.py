"""What a learner writes, read as people of the trade write it: '41.7 A', '7.452 kVA', '24 ft 6 in', '#4/0 Cu', 'passes'."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from calc.job import parse_inches
from calc.practice.lesson import FALLS_SHORT, PASSES, SIZE

MOST = 1e7  # no number of a dwelling comes near it
SHOWN = 40  # of what can't be read
_ANSWER = re.compile(r"\s*(-?[\d,]*\.?\d+)\s*(\D*(?:[23]\D*)?)")
_PERCENT = ("%", "percent", "pct")
_SCALES = {("VA", "kva"): 1000.0, ("VA", "kw"): 1000.0, ("VA", "w"): 1.0, ("kW", "va"): 0.001, ("kW", "w"): 0.001,
           ("kW", "kva"): 1.0, ("A", "ka"): 1000.0, ("ft", "kft"): 1000.0, ("kft", "ft"): 0.001,
           **{("", percent): 0.01 for percent in _PERCENT}}  # fmt: skip
_FORGOTTEN = {"VA": (("kVA", 1000.0),), "kW": (("VA", 0.001),), "A": (("kA", 1000.0),), "%": (("a plain number", 100.0),),
              "": (("%", 0.01),), "in": (("ft", 12.0),), "ft": (("in", 1 / 12), ("kft", 1000.0)), "kft": (("ft", 0.001),),
              "ft2": (("in2", 1 / 144),), "in2": (("ft2", 144.0),)}  # fmt: skip
"""What a number without a unit may have been meant in, by the unit of the line: its name and what it counts for."""
_ALSO = {
    "A": "amp amps ampere amperes", "V": "volt volts", "VA": "voltampere voltamperes volt-amperes", "%": "percent pct",
    "in2": "sqin squareinches in²", "in3": "cuin cubicinches in³", "ft2": "sqft squarefeet ft²", "ohm": "ohms Ω",
}  # fmt: skip
ANSWERED = (PASSES, FALLS_SHORT)
"""What a check is answered with, where it is chosen."""
_PASSING = {"passes", "pass", "passed", "ok", "okay", "yes", "y", "good", "allowed", "holds"}
_FAILING = {"falls short", "fall short", "short", "fails", "fail", "failed", "no", "n", "not allowed", "violation"}


@dataclass(frozen=True)
class Written:
    """A number as it was written: in the unit of the line, to so many decimals of it; ``bare`` without a unit; ``meant``
    where it was read in a unit that was not written.
    """

    number: float
    decimals: int = 9
    bare: bool = False
    meant: str = ""

    def otherwise(self, unit: str) -> Iterator[Written]:
        """What a number without a unit may have been meant as, where it is not right as it stands."""
        for name, scale in _FORGOTTEN.get(unit, ()) if self.bare else ():
            yield replace(self, number=self.number * scale, decimals=self.decimals - _shift(scale), meant=name)


def _shift(scale: float) -> int:
    """How many decimals a number loses when it is multiplied."""
    return len(f"{scale:.0f}") - 1 if scale >= 1 else -len(f"{1 / scale:.0f}") + 1


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


def read_answer(text: str, unit: str) -> tuple[Written | None, str]:
    """The number in the line's unit; or None and what to tell. A unit may be left out, or be kVA for VA."""
    found = _ANSWER.fullmatch(text)
    named = re.sub(r"[.\s]", "", found[2]).lower() if found is not None else ""
    own = found is not None and (named in _names(unit) or (not unit and named.isalpha() and named not in _PERCENT))
    if unit in ("in", "ft") and not own and (taped := _taped(text, unit)) is not None:
        return Written(taped), ""
    if found is None:
        return None, f"'{text.strip()[:SHOWN]}' is not a number with a unit, such as '{_example(unit)}'."
    number, decimals = float(found[1].replace(",", "")), len(found[1].partition(".")[2])
    if abs(number) > MOST:
        return None, f"{text.strip()[:SHOWN]} is beyond anything in a house; look at the decimal point."
    if own:  # '6 receptacles' too, where the line has no unit
        return Written(number, decimals, not named), ""
    if (unit, named) in _SCALES:
        scale = _SCALES[unit, named]
        return Written(number * scale, decimals - _shift(scale)), ""
    return None, f"The line is {f'in {unit}' if unit else 'a plain number'}, not in {found[2].strip()[:SHOWN]}."


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
