"""Loads whose entries contradict one another: voltage, nameplate, kind."""

from __future__ import annotations

from calc.job.model import Job
from calc.job.plausible.notice import Found, Odd

MOST_AT_120_A = 24
"""What a 30 A circuit carries for hours: nothing larger is made for 120 V, by common practice."""
_SEVERAL = ("shop", "other")  # may stand for much that is on many circuits
_SMALL = ("dishwasher", "disposer", "microwave", "hood", "compactor", "sump-pump")


def _voltage(job: Job) -> Found:
    for load in job.loads:
        if load.volts == 120 and load.kind not in _SEVERAL and load.va / 120 > MOST_AT_120_A:
            yield Odd(load, "volts", f"{load.va:,g} VA are {load.va / 120:,.4g} A at 120 V", "240 or 208 V?")
        elif load.volts != 120 and load.kind in _SMALL:
            yield Odd(load, "volts", f"a {load.kind.replace('-', ' ')} is made for 120 V as a rule", "120 V?")


RULES = (_voltage,)
