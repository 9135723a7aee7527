"""Where questions come from: drawn from a seed, or a sheet of a real job."""

from __future__ import annotations

from random import Random

from calc.codebook.files import editions
from calc.families import families
from calc.job import Job
from calc.job.read import make_job
from calc.practice.fair import Fair
from calc.practice.lesson import Again, Question, asked_of, called, is_called, taught
from calc.wiring.house import House
from calc.wiring.reading import codebook_for

LEVELS = (1, 2, 3)
MOST_DRAWS = 200
EDITIONS = {1: ("2023",), 2: tuple(editions()), 3: tuple(editions())}


def question(family: str, seed: int, level: int = 2, edition: str = "") -> Question:
    """The question of a seed, with no limit so near that rounding decides; by one edition, or by one that is drawn too.
    ValueError for a family that has no lesson, a level or an edition that there isn't.
    """
    if family not in taught():
        raise ValueError(f"no lesson for '{family}'; there are {', '.join(taught())}")
    if level not in LEVELS:
        raise ValueError(f"level is {level}; allowed: {', '.join(map(str, LEVELS))}")
    if edition and edition not in editions():
        raise ValueError(f"edition is {edition}; allowed: {', '.join(editions())}")
    lesson = taught()[family]
    random = Random(f"{family}/{seed}/{level}")
    for _ in range(MOST_DRAWS):
        drawn = lesson.draw(random, level)
        by_chance = random.choice(EDITIONS[level])
        drawn["code"] = {**drawn.get("code", {}), "edition": edition or by_chance}
        subject = drawn.pop("practise", "")
        job = make_job(drawn, "practice")
        ref = "/".join([family, str(seed), str(level), *([edition] if edition else [])])
        made = Question(family, f"Practice {seed}, level {level}", job, codebook_for(job), subject, lesson.slips, ref)
        if made.sheet().refused is None and not any(Fair(Again(made)).torn()):
            return made
    raise AssertionError(f"lesson '{family}' draws nothing that can be worked")


def question_of(ref: str) -> Question:
    """The question that goes by such a name, 'box-fill/7/2' or 'box-fill/7/2/2023'. ValueError where none does."""
    family, seed, level, *edition = ref.split("/")
    return question(family, int(seed), int(level), *edition)


def question_from_job(family: str, job: Job, subject: str = "") -> Question:
    """A real job's sheet to be practised: the one named, or the last that is not refused. ValueError where the job lacks
    the family's part, has no such sheet, or the sheet is refused.
    """
    missing = families()[family].needs(job)
    if missing:
        raise ValueError(f"the job needs {'; '.join(missing)}")
    code = codebook_for(job)
    sheets = families()[family].work(House(job, code))
    named = [sheet for sheet in sheets if is_called(sheet, subject)]
    if not named:
        there = "; ".join(map(called, sheets))
        raise ValueError(f"no sheet '{subject}'; there are {there}")
    worked = [sheet for sheet in named if sheet.refused is None]
    if not worked:
        raise ValueError(f"the sheet is {named[-1].status}: {named[-1].refused and named[-1].refused.reason}")
    slips = taught()[family].slips if family in taught() else ()
    return Question(family, f"Practice: {job.job.name}", job, code, called(worked[-1]), slips)


def sheets_to_practise(family: str, house: House) -> list[str]:
    """What the sheets of a real house are called that can be practised: those that are worked and ask for something."""
    sheets = [sheet for sheet in families()[family].work(house) if sheet.refused is None and asked_of(family, sheet)]
    return list(dict.fromkeys(map(called, sheets)))
