"""The command ``studbay``. Exit codes: 0 everything in scope is worked and passes; 1 something in it falls short, isn't
shown or isn't worked; 2 bad input or usage; 3 a fault of ours."""

from __future__ import annotations

import gc
import os
from typing import Any

import click

from calc.cli import documents, entries, laying_out, quick, readings, reference, sheets, teaching
from calc.cli.telling import say

STOPPED = 130
LOOK_AFTER = 300_000  # objects made between two looks for garbage; Python's own 700 take a tenth of the time


class Commands(click.Group):
    """The commands; whoever stops one with Ctrl-C gets exit code 130, as from other programs."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was asked for; of a question's name, how to ask the question."""
        if args and self.get_command(ctx, args[0]) is None:
            from calc.quick.question import called, question

            if name := called().get(args[0].lower()):
                raise click.UsageError(f"'{args[0]}' is a question: {question(name).example}", ctx)
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was asked for. What it works is kept until it ends: there is little garbage to look for."""
        gc.set_threshold(LOOK_AFTER)
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            say("Stopped.", err=True)
            ctx.exit(STOPPED)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="studbay")
def main() -> None:
    """Worked, cited calculations for house wiring.

    A house is described once, in a job file. From it Studbay works out each number with every step shown, and makes
    the packet for the permit office.

    \b
      studbay quick drop 16 A 120 V 110 ft 12 AWG   one answer, without a job file
      studbay new sorrel-bend-12          make a job file and fill it in
      studbay check JOB                   read it: every problem at once, with line numbers
      studbay work JOB                    the sheets, in the terminal
      studbay packet JOB                  the packet, as PDF
      studbay fixes JOB                   what to mend, worst first
      studbay packet --for crew JOB       the crew's packet: fix list and walk sheets
      studbay open                        the workbook, in the browser

    The adopted code with its local amendments decides, and the authority having jurisdiction interprets it.
    """
    os.environ["PYTHONSAFEPATH"] = "1"  # no Python that is started from here imports what lies in the folder it is in
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = (
        "__all__"  # nor looks through all that is installed for what reads jobs too
    )


for command in (
    documents.new, sheets.check, sheets.work, sheets.compare, documents.packet, sheets.fix_list, teaching.practice,
    quick.quick, entries.table, entries.copy_entry, entries.take_back, laying_out.propose, readings.readings,
    reference.rule, reference.schema, documents.open_lab,
):  # fmt: skip
    main.add_command(command)
