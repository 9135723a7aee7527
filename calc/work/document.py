"""A reader's document: sections of tables, charts, facts and words, in the order in which they are read.

What stands in it is said here, as objects; a page on the screen is made of it by `calc.show`, paper by `calc.packet`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from calc.work.chart import Chart
from calc.work.plain import Public
from calc.work.status import Status
from calc.work.summary import Fact
from calc.work.table import Table

Reader = Literal["office", "crew", "owner", "learner"]


@dataclass(frozen=True)
class Verdict(Public):
    """The one verdict of a document, with what belongs to it."""

    status: Status
    words: str
    """'House: 2 fall short, 1 not shown'."""
    details: Sequence[str] = ()
    """A paragraph each: what is open first, what nothing is claimed of."""
    kind: Literal["verdict"] = field(default="verdict", init=False)


@dataclass(frozen=True)
class Facts(Public):
    """Labels with their texts."""

    rows: Sequence[Fact]
    title: str = ""
    across: int = 2
    """How many stand side by side."""
    kind: Literal["facts"] = field(default="facts", init=False)


@dataclass(frozen=True)
class Sentences(Public):
    """A list of short statements, or paragraphs."""

    texts: Sequence[str]
    title: str = ""
    listed: bool = True
    """Whether each is an entry of a list."""
    kind: Literal["sentences"] = field(default="sentences", init=False)


@dataclass(frozen=True)
class Signing(Public):
    """Where the preparer signs and the office stamps."""

    preparer: Sequence[Fact]
    """Labels with what is known; '' leaves a line to write on."""
    kind: Literal["signing"] = field(default="signing", init=False)


Part = Verdict | Facts | Sentences | Signing | Table | Chart


@dataclass(frozen=True)
class Section(Public):
    """One subject of a document, an entry of its outline."""

    title: str
    parts: Sequence[Part]
    new_page: bool = False
    """Whether it starts a page."""
    one_page: bool = False
    """Whether its text is made smaller, within reason, where it then takes one page."""
    across: int = 1
    """How many of its parts stand side by side, such as plans."""


@dataclass(frozen=True)
class Document(Public):
    """All that one reader is handed."""

    reader: Reader
    title: str
    """What it is, such as 'Permit set'."""
    subject: str
    """What it is about: the address of the site, or the name of the job where it has none."""
    sections: Sequence[Section]
    figures: Mapping[str, float | str] = field(default_factory=dict)
    """What machines want of it, by name, in the unit that the name ends in."""
    verdict: Mapping[str, object] = field(default_factory=dict)
    """How the job stands, in the public form of the verdict, where the document says so."""
    schema_version: Literal[1] = field(default=1, init=False)
