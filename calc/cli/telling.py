"""What the commands say, to whom, and with which exit code; and the job that most of them begin with."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

import click

from calc.letters import visible

if TYPE_CHECKING:
    from calc.wiring.house import House

P = ParamSpec("P")
R = TypeVar("R")
JOB = click.argument("job_path", metavar="JOB", type=click.Path(path_type=Path))


def say(text: str, err: bool = False, nl: bool = True) -> None:
    """Print a text, whoever wrote it: only letters and signs reach the terminal."""
    click.echo(visible(text), err=err, nl=nl)


class BadInput(click.ClickException):
    """A message about what was read, printed without a traceback."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        """Print the message alone."""
        say(self.message, err=True)


class Fault(BadInput):
    """A fault of ours, said on one line."""

    exit_code = 3


def explained(command: Callable[P, R]) -> Callable[P, R]:
    """Turn what the layers below say about bad input into one message and exit code 2, all else into exit code 3."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except OSError as error:  # a folder that can't be written, a disk that is full
            raise BadInput(f"{error.filename or 'a file'}: {error.strerror or error}") from None
        except Exception as error:
            if isinstance(error, _bad_input()):
                raise BadInput(str(error)) from None
            at = traceback.extract_tb(error.__traceback__)[-1]
            raise Fault(
                f"A fault of Studbay's own, not of the job: {type(error).__name__}: {error} ({Path(at.filename).name}, "
                f"line {at.lineno}). Please report it, with the job file."
            ) from error

    return run


def _bad_input() -> tuple[type[Exception], ...]:
    """What the layers below raise for bad input; asked for once something is raised, so that an answer need not wait for it."""
    from calc.codebook import CodebookError
    from calc.job import JobError
    from calc.packet.lots import LotsError
    from calc.packet.restore import RestoreError

    return JobError, CodebookError, RestoreError, LotsError


def opened(job_path: Path, edition: str | None = None) -> House:
    """The house of the job in a file, under the code that it adopts or under another edition."""
    from calc.job import read_job
    from calc.wiring.house import House

    return House.of(read_job(job_path), edition)
