"""Names that match, or nearly, and are not linked: what one entry says then never reaches the other."""

from __future__ import annotations

import difflib
import re

from calc.job.model import Job
from calc.job.plausible.notice import Found, Odd

_FILLERS = {"the", "a", "and", "of", "circuit", "load", "run", "to", "panel", "feeder"}


def words(name: str) -> frozenset[str]:
    """The words of a name that tell it apart, in small letters."""
    return frozenset(re.findall(r"[^\W_]+", name.lower())) - _FILLERS


def alike(one: str, other: str) -> bool:
    """Whether two names very likely mean one thing: the same words, all words of one in the other, or one letter off."""
    a, b = words(one), words(other)
    if a and b and (a <= b or b <= a):
        return True
    return difflib.SequenceMatcher(None, one.lower(), other.lower()).ratio() >= 0.88


def _loads_and_circuits(job: Job) -> Found:
    """A load and a circuit that are called nearly alike: the sheets of the circuit know nothing of the load."""
    taken = {load.circuit or load.name for load in job.loads}  # of the very same name: taken as on it
    free = [c for c in job.circuits if c.name not in taken and c.status != "removed" and c.purpose == "individual"]
    for load in job.loads:
        named = [circuit for circuit in free if alike(load.name, circuit.name)]
        if load.status == "removed" or not named:
            continue
        likely = f'circuit "{named[0].name}"'
        if load.circuit is None:
            yield Odd(load, "circuit", f'no load is on the circuit "{named[0].name}", which is called alike', likely)
        else:
            yield Odd(load, "circuit", f'the circuit "{named[0].name}" is called alike and has no load', likely)


RULES = (_loads_and_circuits,)
