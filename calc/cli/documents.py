"""Commands that make files and open them: new, packet, open."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from calc.cli.telling import BadInput, explained, opened, say


@click.command()
@click.argument("name")
@click.option(
    "--starter",
    default="one-family",
    show_default=True,
    help="Which starter to begin from, such as kitchen; a name that is none lists them all.",
)
@click.option("--from", "packet", type=click.Path(path_type=Path), help="Restore the job that a packet carries.")
@click.option(
    "--folder", type=click.Path(path_type=Path), default=Path(), help="Working folder; this one if not given."
)
@explained
def new(name: str, starter: str, packet: Path | None, folder: Path) -> None:
    """Make a job file NAME.toml, with the notebooks beside it where there are none yet."""
    from calc.workplace import lay_out

    made = lay_out(folder, name, starter, packet)
    if packet is None:
        say(f"{made}\nFill it in, then: studbay check {made}")
        return
    from calc.job import read_job

    say(f"{made}\nThe job in it is called '{read_job(made).job.name}', as in the packet, and reports are kept by that name: "
        "for another job, change the name under [job].")  # fmt: skip


@click.command()
@click.argument("jobs", metavar="JOB...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), default=Path("reports"), show_default=True, help="Folder.")
@click.option("--for", "reader", type=click.Choice(["office", "crew", "owner", "learner"]), default="office", show_default=True,
              help="Who reads it. crew: fix list and walk sheets, on paper and for a phone without a network; owner: what fits; learner: each reason, and room to work.")  # fmt: skip
@click.option("--no-attachments", is_flag=True, help="Leave the job file and sheets out of the PDF.")
@click.option(
    "--engine",
    type=click.Choice(["warm", "stock"]),
    default="warm",
    show_default=True,
    help="How notebooks run: in forked processes where the system can, or papermill's own way.",
)
@click.option(
    "--lots",
    "table",
    type=click.Path(path_type=Path),
    help="A CSV or XLSX table of variations of one job: a row a lot, a column a place in the job file.",
)
@click.option("--options", type=click.Path(path_type=Path), help="A TOML file of named options for the lots.")
@click.option(
    "--jobs", "workers", type=click.IntRange(1, 256), help="How many at a time; as many as processors if not given."
)
@click.option("--scheduler", metavar="ADDRESS", help="Hand the work to a Dask cluster (needs studbay[cluster]), whose "
              "scheduler is trusted: what it sends back is run. tls://HOST:PORT with --tls says who it is.")  # fmt: skip
@click.option("--tls", nargs=3, type=click.Path(path_type=Path, exists=True, dir_okay=False), metavar="CA CERT KEY",
              help="Files for a scheduler at tls://: the authority's certificate, one's own, and its key.")  # fmt: skip
@explained
def packet(
    jobs: tuple[Path, ...],
    out: Path,
    reader: str,
    no_attachments: bool,
    engine: str,
    table: Path | None,
    options: Path | None,
    workers: int | None,
    scheduler: str | None,
    tls: tuple[Path, Path, Path] | None,
) -> None:
    """Run the notebooks for a job and make its permit packet; many jobs are a batch.

    A batch leaves packets whose job, notebooks and program have not changed, makes the rest, and says what became of
    each, with a summary as packets.csv, packets.xlsx and packets.pdf. Lots that differ in nothing but who and where they
    are share one annex, which each permit set names.
    """
    if reader != "office" and (len(jobs) > 1 or table is not None):
        raise BadInput(f"--for {reader} is about one job; give one, and no --lots")
    if tls and not (scheduler or "").startswith("tls://"):
        raise BadInput("--tls goes with --scheduler tls://HOST:PORT")
    if table is not None and len(jobs) > 1:
        raise BadInput("--lots varies one job; give one")
    if len(jobs) > 1 or table is not None:
        from calc.batches import make_batch

        code = make_batch(jobs, out, table=table, options=options, workers=workers or os.cpu_count() or 1,
                          scheduler=scheduler, tls=tls, attachments=not no_attachments, engine=engine)  # fmt: skip
        sys.exit(code)
    from calc.documents.owner import lacking
    from calc.packet import pool, warm
    from calc.packet.crew import make_crew
    from calc.packet.learner import make_learner
    from calc.packet.owner import make_owner
    from calc.packet.run import PacketError, make_packet, packet_notebooks
    from calc.verdict.scope import scope_of
    from calc.workplace import notebooks_folder

    (job_path,) = jobs
    house = opened(job_path)
    scope_of(house.whole_job)  # bad input is told before any notebook runs
    if reader == "owner" and (lacks := lacking(house)):
        raise BadInput(f"{job_path}: there is no owner's page: {lacks}")
    name = None
    if engine == "warm" and warm.available():
        warm.warm_up(pool.PRELOADED)
        name = warm.register()

    def told(text: str) -> None:
        say(text, err=True)

    folder = notebooks_folder(job_path, told)

    try:
        if reader == "crew":
            done = make_crew(
                job_path, notebooks=packet_notebooks(folder, "walk"), out_dir=out, engine=name, progress=told
            )
            say(f"{done.pdf}\n{done.page}")
            sys.exit(1 if done.to_fix else 0)
        if reader == "owner":
            page = make_owner(
                job_path, notebooks=packet_notebooks(folder, "owner"), out_dir=out, engine=name, progress=told
            )
            say(str(page.pdf))
            sys.exit(0 if page.fits else 1)
        if reader == "learner":
            taught = make_learner(job_path, notebooks=packet_notebooks(folder), out_dir=out, attachments=not no_attachments,
                                  engine=name, progress=told)  # fmt: skip
            say(str(taught.pdf))
            sys.exit(0 if taught.passes else 1)
        made = make_packet(job_path, notebooks=packet_notebooks(folder), out_dir=out, attachments=not no_attachments,
                           engine=name, progress=told)  # fmt: skip
    except PacketError as error:
        say(str(error), err=True)
        sys.exit(3)
    say(str(made.pdf))
    sys.exit(0 if made.passes else 1)


@click.command(name="open")
@click.option(
    "--folder", type=click.Path(path_type=Path), default=Path(), help="Working folder; this one if not given."
)
@click.option("--pages", is_flag=True, help="The notebooks as plain pages: no code, nothing to run first.")
@click.option("--no-browser", is_flag=True, help="Start the server and print its address only.")
@click.option("--allow-root", is_flag=True, help="Run as root all the same, as in a container that has no other user.")
def open_lab(folder: Path, pages: bool, no_browser: bool, allow_root: bool) -> None:
    """Open the workbook at its start page, on this machine only, with its token: in JupyterLab, or as pages."""
    from calc.workplace import open_workbook

    sys.exit(open_workbook(folder, browser=not no_browser, pages=pages, allow_root=allow_root))
