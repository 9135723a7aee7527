"""Shown work: traced values, lines, checks and sheets. Knows nothing of wiring."""

from calc.work.sheet import Check, Line, Sheet, Words
from calc.work.text import as_text
from calc.work.values import (
    IN_PER_FT,
    VA_PER_KW,
    Bands,
    Citation,
    Comparison,
    Lookup,
    Refused,
    Text,
    Value,
    WorkError,
    carried,
    constant,
    given,
    larger,
    over,
    root,
    smaller,
    tiers,
    total,
    when,
    whole,
)

__all__ = [
    "IN_PER_FT", "VA_PER_KW", "Bands", "Check", "Citation", "Comparison", "Line", "Lookup", "Refused", "Sheet", "Text",
    "Value", "WorkError", "Words", "as_text", "carried", "constant", "given", "larger", "over", "root", "smaller",
    "tiers", "total", "when", "whole",
]  # fmt: skip
