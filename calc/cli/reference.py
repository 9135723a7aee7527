"""Commands that say what the program knows: rule, schema."""

from __future__ import annotations

import json
from pathlib import Path

import click

from calc.cli.telling import BadInput, explained, opened, say


@click.command()
@click.argument("asked", metavar="RULE")
@click.option("--edition", help="One edition, such as 2020; all of them side by side if not given.")
@click.option("--job", "job_path", type=click.Path(path_type=Path), help="As a job adopts it, with its amendments.")
@click.option("--json", "as_json", is_flag=True, help="The rules as JSON on standard output, and nothing else there.")
@explained
def rule(asked: str, edition: str | None, job_path: Path | None, as_json: bool) -> None:
    """What a rule says, its value in each edition, how sure it is, and where it came from.

    RULE is a section (220.55, with the rows of its tables), a rule's own name (unit_load), or words of its name
    ("largest motor").
    """
    from calc.codebook import editions as known
    from calc.codebook import explain, open_codebook

    shown = {name: open_codebook(name).in_full for name in ([edition] if edition else known())}
    if job_path is not None:
        house = opened(job_path, edition)
        shown = {f"{house.code.edition} as {house.job.job.name} adopts it": house.code.in_full}
    told = explain.explained(asked, shown)
    say(json.dumps(told.as_json(), indent=1) if as_json else explain.as_text(told), nl=as_json)


@click.command()
@click.option("--of", default="job", show_default=True, metavar="FORM", help="Which public form.")
@explained
def schema(of: str) -> None:
    """The JSON Schema of the job file, for editors; with --of that of what the commands give as JSON.

    FORM is job, sheet (work --json), table (work --tables --json), chart, summary (page 1), verdict,
    fixes (fixes --json), walk, record, rule (rule --json), answer (quick --json), sheets.json or crew.json.
    """
    from calc.schemas import FORMS

    if of not in FORMS:
        raise BadInput(f"no form '{of}'; there are {', '.join(FORMS)}")
    say(json.dumps(FORMS[of](), indent=2))
