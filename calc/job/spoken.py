"""What is wrong with an entry, said to a person at a form: by the labels that stand there, without the file's marks."""

import re

from calc.job.fields import FieldFacts, Part, field_info
from calc.job.model import part_at
from calc.job.places import keys
from calc.job.problems import Problem

_KEYS = re.compile(r"((?:only )?one of |stands beside |is missing; )(\w+(?:, \w+)*)( needs it)?")
"""Where a message speaks of keys of the file: which go together, which shut each other out."""


def at_a_form(problem: Problem) -> str:
    """What was read, what is allowed, a hint. A choice offers its own list, so that is not said again."""
    part, facts = _declared(problem.at)
    read, allowed = _labelled(problem.read, part), _labelled(problem.allowed, part).replace('\\"', '"')
    hint = "" if problem.hint.startswith(("write ", "put it ")) else problem.hint
    if problem.read.startswith("is missing"):
        if problem.allowed.startswith("one of "):
            return f"give {' or '.join(allowed.removeprefix('one of ').split(', '))}"
        read = read.replace("is missing", "needed", 1)
        if facts and (facts.choices or facts.kind == "yes or no") and not facts.kind.startswith("list of"):
            read, allowed = f"{read}: choose one", ""
    elif facts and facts.kind == "number" and problem.read.startswith('is "'):
        allowed = f"a number, {allowed}"
    return "; ".join(said for said in (read, allowed and f"allowed: {allowed}", hint) if said)


def _declared(at: str) -> tuple[type[Part] | None, FieldFacts | None]:
    """The part at a place, and what is declared of the field there; None where the job has no such thing."""
    try:
        *outer, name = keys(at)
        part, _ = part_at(".".join(outer))
    except (KeyError, ValueError):
        return None, None
    return part, field_info(part, name) if name in part.model_fields else None


def _labelled(text: str, part: type[Part] | None) -> str:
    found = _KEYS.fullmatch(text)
    if found is None or part is None:
        return text
    labels = [field_info(part, key).title if key in part.model_fields else key for key in found[2].split(", ")]
    if found[3]:
        return f"needed beside {labels[0]}"
    return found[1] + ", ".join(labels)
