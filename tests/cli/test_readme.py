"""What the README and the developers' page print is there to be typed: commands, options, targets, files."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from calc.cli import main

REPOSITORY = Path(__file__).parents[2]
PAGES = [(REPOSITORY / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")]
UNFENCED = [re.sub(r"^ *```.*?^ *```$", "", page, flags=re.MULTILINE | re.DOTALL) for page in PAGES]
SAID = [re.sub(r"\s+", " ", said) for page in UNFENCED for said in re.findall(r"`([^`]+)`", page)]
COMMANDS = sorted({said.removeprefix(".venv/bin/") for said in SAID if re.match(r"(\.venv/bin/)?studbay \S", said)})


def commands(group: click.Group) -> Iterator[click.Command]:
    """All commands, those within groups too."""
    for command in group.commands.values():
        yield from commands(command) if isinstance(command, click.Group) else [command]


def options(command: click.Command) -> set[str]:
    return {name for param in command.params for name in (*param.opts, *param.secondary_opts) if name.startswith("-")}


def test_the_readme_prints_commands_at_all() -> None:
    assert len(COMMANDS) >= 12


@pytest.mark.parametrize("said", COMMANDS)
def test_each_printed_command_is_one(said: str) -> None:
    _, *words = shlex.split(said)
    command: click.Command = main
    while isinstance(command, click.Group) and words:
        assert words[0] in command.commands
        command = command.commands[words.pop(0)]
    assert {word for word in words if word.startswith("-")} <= options(command)


def test_options_told_by_themselves_belong_to_a_command() -> None:
    known = set().union(*map(options, commands(main)))
    assert {said.split()[0] for said in SAID if said.startswith("--")} <= known


def test_each_printed_target_is_in_the_makefile() -> None:
    targets = set(re.findall(r"^(\w+):", (REPOSITORY / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    printed = {target for page in PAGES for target in re.findall(r"(?:`|^ +)make (\w+)", page, re.MULTILINE)}
    assert {"packet", "test"} <= printed <= targets


def test_files_that_are_linked_are_there() -> None:
    for page in PAGES:
        for link in re.findall(r"\]\(([^)#]+)\)", page):
            assert (REPOSITORY / link).exists(), link


def test_the_steps_name_the_file_that_they_make() -> None:
    """The first step's job lies where the later ones look for it, and its packet too."""
    from calc.job import file_stem

    assert f"notebooks/jobs/{file_stem('Alder Row 5')}.toml" in PAGES[0]
    assert "reports/Alder Row 5/permit-set.pdf" in PAGES[0]
