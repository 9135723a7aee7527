"""The electrical code as data: editions, tables, amendments, and the lookups."""

from collections.abc import Sequence
from pathlib import Path

from calc.codebook.book import Codebook, Row
from calc.codebook.files import CodebookError, amended, edition, editions

__all__ = ["Codebook", "CodebookError", "Row", "editions", "open_codebook"]


def open_codebook(name: str, amendments: Sequence[Path] = ()) -> Codebook:
    """The codebook of an edition, with amendments files laid over it. Raises CodebookError."""
    return Codebook(amended(name, amendments) if amendments else edition(name))
