"""Calculation families: job and codebook in, sheets out. One module (or package) and one words file each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol, cast

from calc.job import Job
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.chart import Chart
from calc.work.table import Table


class Family(Protocol):
    """The face of a family module."""

    FAMILY: str
    TITLE: str
    PLACE: int  # its place in a packet

    def needs(self, job: Job) -> list[str]:
        """What the job lacks for this family, in words; empty where it has all."""

    def work(
        self,
        house: House,
    ) -> list[Sheet]:
        """The sheets; ``overrides`` replaces lines by key."""

    def charts(self, house: House, sheets: Sequence[Sheet]) -> list[Chart]:
        """The charts that belong to the sheets."""

    def tables(self, house: House) -> list[Table]:
        """Tables beside the sheets."""


@cache
def families() -> dict[str, Family]:
    """All families by name, in packet order. A words file is what makes a module a family."""
    names = sorted(path.stem for path in (Path(__file__).parent / "words").glob("*.toml"))
    found: list[Any] = [import_module(f"calc.families.{name.replace('-', '_')}") for name in names]
    return {family.FAMILY: cast(Family, family) for family in sorted(found, key=lambda family: family.PLACE)}
