"""What is said of entries to a person at a form or over a page: by the labels that stand there, without the file's marks."""

import re
from functools import cache, lru_cache

from calc.job.fields import FieldFacts, Part, all_parts, field_info, parts_of
from calc.job.model import Job, part_at
from calc.job.places import keys, steps
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


_ENTRY = re.compile(
    r"\b([a-z_]+\[\d+\](?:\.[a-z_0-9]+(?:\[\d+\])?)*)|\[\[?([a-z_]+(?:\.[a-z_]+)*)\]?\]"
    r"|\b(?:[a-z_]+\.)?([a-z]+(?:_[a-z0-9]+)+)\b"
)
"""Where a text for somebody who writes the file names a place, 'runs[1].sets', a table, '[[raceways]]', or an entry,
'breaker_type'."""


def for_a_reader(text: str) -> str:
    """A text with the labels of entries in place of their keys, for a page; what is no key of the job stays."""

    def label(found: re.Match[str]) -> str:
        place = found[1] or found[2]
        title = _place_title(place) if place else _titles().get(found[3], "")
        return f"'{title}'" if title else found[0]

    return _ENTRY.sub(label, text) if "_" in text or "[" in text else text


@cache
def _titles() -> dict[str, str]:
    """The label of each key of more than one word; where tables label one key in several ways, the first."""
    found: dict[str, str] = {}
    for part in all_parts(Job):
        for name in part.model_fields:
            found.setdefault(name, field_info(part, name).title)
    return {name: title for name, title in found.items() if "_" in name}


@lru_cache(maxsize=4096)
def _place_title(at: str) -> str:
    """The labels along a place, with the numbers of entries; '' for text that is no place in a job."""
    part: type[Part] = Job
    said: list[str] = []
    try:
        for step in steps(at):
            if isinstance(step, int):
                said[-1] += f" {step + 1}"
            elif step in part.model_fields:
                said.append(field_info(part, step).title)
                part = parts_of(part).get(step, (Part,))[0]
            else:
                return ""
    except KeyError:
        return ""
    return ", ".join(said)
