"""How a field of the job is declared: label, unit, limits and help, stated once.

Forms, JSON Schema, error messages and the givens on a sheet all read the same declaration,
so a field never has two labels or two limits.
"""

import datetime
import re
import unicodedata
from collections.abc import Set
from functools import cache
from itertools import combinations
from types import UnionType
from typing import Annotated, Any, ClassVar, Literal, NamedTuple, TypeVar, Union, get_args, get_origin

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    PrivateAttr,
    Strict,
    ValidationInfo,
    field_validator,
)
from pydantic.fields import FieldInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, PydanticKnownError, PydanticUndefined

from calc.job import trade

REQUIRED: Any = ...
MOST_FILE_NAME_BYTES = 200
"""Systems allow 255; what stands beside a folder of that name while it is made has a few more."""
_SUMMARY = re.compile(r"packets\.(csv|xlsx|pdf)", re.IGNORECASE)
_DEVICE = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
MOST_ITEMS = 2000
"""The most entries in one list of a job: a spreadsheet pasted whole is refused, no house is."""

CONFIRMED = "confirmed"
"""The key, in any table, that lists its entries which look odd and were found to be right."""
PROPOSED = "proposed"
"""The key of an entry that was laid out for a person, who has not accepted it yet."""


def _not_too_many(value: object) -> object:
    """Told before any entry is looked at: a hundred thousand of them have as many faults."""
    if isinstance(value, list) and len(value) > MOST_ITEMS:
        raise PydanticKnownError(
            "too_long", {"field_type": "List", "max_length": MOST_ITEMS, "actual_length": len(value)}
        )
    return value


T = TypeVar("T")
Many = Annotated[tuple[T, ...], Strict(False), Field(max_length=MOST_ITEMS), BeforeValidator(_not_too_many)]
"""A list of entries, kept as a tuple so that a job can't be changed behind a sheet's back."""


class Words(NamedTuple):
    """What a field of a special type takes, in words, for messages and forms."""

    kind: str
    allowed: str


class OneOf(NamedTuple):
    """How many of these keys are given, from `least` (0 or 1) to `most`."""

    keys: tuple[str, ...]
    least: int = 1
    most: int = 1

    def holds(self, given: Set[str]) -> bool:
        """Whether it holds for a table with these keys."""
        return self.least <= len(given & set(self.keys)) <= self.most

    def schema(self) -> dict[str, Any]:
        """The rule as JSON Schema."""
        given = [{"required": [key]} for key in self.keys]
        pairs = [{"required": list(pair)} for pair in combinations(self.keys, self.most + 1)]
        return ({"anyOf": given} if self.least else {}) | ({"not": {"anyOf": pairs}} if pairs else {})


class Needs(NamedTuple):
    """A key that says nothing without another."""

    key: str
    other: str

    def holds(self, given: Set[str]) -> bool:
        """Whether it holds for a table with these keys."""
        return self.key not in given or self.other in given

    def schema(self) -> dict[str, Any]:
        """The rule as JSON Schema."""
        return {"dependentRequired": {self.key: [self.other]}}


class FieldFacts(NamedTuple):
    """What is declared of one field."""

    title: str
    unit: str
    help: str
    least: float | None
    most: float | None
    choices: tuple[Any, ...]
    kind: str
    allowed: str
    required: bool
    default: Any
    refers_to: tuple[str, ...]
    only_for: tuple[str, ...]


def field(
    title: str,
    help: str,
    default: Any = None,
    *,
    unit: str = "",
    least: float | None = None,
    most: float | None = None,
    refers_to: tuple[str, ...] = (),
    also: tuple[str, ...] = (),
    only_for: tuple[str, ...] = (),
) -> Any:
    """Declare a field: its label, one line of help in trade words, its unit and limits.

    `refers_to` names the lists whose entries this field may name, `also` the words that it takes besides; `only_for`
    are the kinds of its table for which it means something, where it doesn't for all.
    """
    extra: dict[str, Any] = {"unit": unit} if unit else {}
    if refers_to:
        extra |= {"refers_to": list(refers_to), "also": list(also)}
    if only_for:
        extra["only_for"] = list(only_for)
    return Field(default, title=title, description=help, ge=least, le=most, json_schema_extra=extra or None)


def refuse(allowed: str, hint: str = "") -> PydanticCustomError:
    """The error that a field's own reader raises: what is allowed, and a hint."""
    return PydanticCustomError("refused", "{allowed}", {"allowed": allowed, "hint": hint})


def _printable(text: str) -> str:
    if not text.strip() or text != text.strip() or not text.isprintable():
        raise refuse("text on one line, of characters that can be seen, without spaces at its ends")
    return text


def _paragraphs(text: str) -> str:
    # spaces of every kind come in with pasted text, the one that doesn't break among them
    if not all(c.isprintable() or c in "\n\r\t" or unicodedata.category(c) == "Zs" for c in text):
        raise refuse("text without control characters")
    return text


def _file_safe(text: str) -> str:
    if "/" in text or "\\" in text or text.startswith(".") or text.endswith("."):
        raise refuse('text without "/", "\\" or a dot at its ends: reports are kept in a folder of this name')
    if _SUMMARY.fullmatch(text):
        raise refuse("another text: the summary of a batch has this name, beside the folders that reports are kept in")
    if _DEVICE.fullmatch(text):
        raise refuse("text that no system takes for a device: reports are kept in a folder of this name")
    if len(text.encode()) > MOST_FILE_NAME_BYTES:
        raise refuse("fewer characters, for these take much room: reports are kept in a folder of this name")
    return text


def _date(value: object) -> object:
    if isinstance(value, str):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            return value
    return value


_ONE_LINE = AfterValidator(_printable)
Text = Annotated[str, Field(max_length=300), _ONE_LINE, Words("text", "1 to 300 characters on one line")]
Name = Text
"""What a part of the house is called."""
FileName = Annotated[
    str, Field(max_length=80), _ONE_LINE, Words("text", "1 to 80 characters on one line"), AfterValidator(_file_safe)
]
Notes = Annotated[
    str, Field(max_length=20_000), AfterValidator(_paragraphs), Words("paragraphs", "text, up to 20,000 characters")
]
Date = Annotated[
    datetime.date,
    BeforeValidator(_date, json_schema_input_type=datetime.date),
    Words("date", "a date such as 2026-03-14"),
]


class Part(BaseModel):
    """One table of a job file: fixed once read, every key known, every value of its own type."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False, defer_build=True)
    presence: ClassVar[tuple[OneOf | Needs, ...]] = ()
    confirmed: Many[Name] = field("Confirmed", "entries of this table that look odd and were found to be right", ())
    _place: str = PrivateAttr("")

    @field_validator("*", mode="before")
    @classmethod
    def _as_the_trade_says(cls, value: object, info: ValidationInfo) -> object:
        """Text for a number or a choice, as what it means: "12 kW" for volt-amperes, "GFCI" for ground-fault."""
        if isinstance(value, str):
            return _meant(value, field_info(cls, str(info.field_name)))
        if isinstance(value, list) and any(isinstance(one, str) for one in value):
            facts = field_info(cls, str(info.field_name))
            return [_meant(one, facts) if isinstance(one, str) else one for one in value] if facts.choices else value
        return value

    def __eq__(self, other: object) -> bool:
        """Whether the other says the same at the same place: the same keys entered, the same values."""
        if self is other:
            return True
        if not isinstance(other, Part) or type(self) is not type(other) or self._where != other._where:
            return False
        return self.model_fields_set == other.model_fields_set and self.__dict__ == other.__dict__

    def __hash__(self) -> int:
        return hash((type(self), self._where))

    @property
    def _where(self) -> str:
        """Its place, read past what makes a private attribute slow: jobs are compared part by part at every edit."""
        private = self.__pydantic_private__
        return str(private["_place"]) if private else ""

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        schema = handler.resolve_ref_schema(handler(core))
        schema["properties"][CONFIRMED]["items"] = {"enum": keys_of(cls)}
        for name in keys_of(cls):
            _or_as_said(schema["properties"][name], field_info(cls, name))
        rules = [rule.schema() for rule in cls.presence]
        if rules:
            schema["allOf"] = rules
        return schema


def _meant(text: str, facts: FieldFacts) -> object:
    """What a text means for a field; the text itself where it is for the field's own reader, or means nothing.

    A text that may be left out is left out where nothing is written: `permit_number = ""`.
    """
    if not text and facts.kind == "text" and facts.default is None and not (facts.required or facts.refers_to):
        return None
    if facts.kind in ("number", "whole number") or (facts.choices and facts.unit):
        try:
            return trade.quantity(text, facts.unit)
        except ValueError as error:
            if str(error) and not facts.choices:
                raise refuse(facts.allowed, str(error)) from None
    return trade.choice(text, facts.choices) if facts.choices else text


def _or_as_said(schema: JsonSchemaValue, facts: FieldFacts) -> None:
    """Let a field's JSON Schema take what the trade says: a number with its unit as text, a choice by other names."""
    for one in (schema, *schema.get("anyOf", ()), schema.get("items", {})):
        if one.get("type") in ("number", "integer") and facts.choices and facts.unit:
            one["anyOf"] = [{"enum": one.pop("enum"), "type": one.pop("type")}, {"type": "string", "pattern": "[0-9]"}]
        elif one.get("type") in ("number", "integer") and facts.kind in ("number", "whole number"):
            one |= {"type": [one["type"], "string"], "pattern": "[0-9]"}
        elif "enum" in one:
            one["enum"] = [*one["enum"], *trade.names_of(facts.choices)]


class Proposable(Part):
    """An entry that may be laid out for a person: it counts for nothing until that person accepts it."""

    proposed: bool = field("Proposed", "laid out and not accepted yet: no sheet that rests on it passes", False)


def keys_of(part: type[Part]) -> list[str]:
    """The keys of a table that are its own: all but the list of those confirmed, which every table may have."""
    own = [name for name in part.model_fields if name not in (CONFIRMED, PROPOSED)]
    return [*own, PROPOSED] if PROPOSED in part.model_fields else own


def unwrap(annotation: Any) -> tuple[Any, bool, Words | None]:
    """The bare type behind an annotation, whether it stands in a list, and the words of its special type."""
    many, words = False, None
    while True:
        origin = get_origin(annotation)
        if origin is Annotated:
            annotation, *marks = get_args(annotation)
            words = next((m for m in marks if isinstance(m, Words)), words)
        elif origin in (Union, UnionType):
            annotation = next(a for a in get_args(annotation) if a is not type(None))
        elif origin is tuple:
            many, annotation = True, get_args(annotation)[0]
        else:
            return annotation, many, words


@cache
def parts_of(part: type[Part]) -> dict[str, tuple[type[Part], bool]]:
    """The tables inside a table: key -> (its type, whether it is a list of them)."""
    found = {name: unwrap(info.annotation)[:2] for name, info in part.model_fields.items()}
    return {n: (t, many) for n, (t, many) in found.items() if isinstance(t, type) and issubclass(t, Part)}


def all_parts(part: type[Part]) -> list[type[Part]]:
    """A table's type and those of all tables inside it."""
    return [part, *(inner for held, _ in parts_of(part).values() for inner in all_parts(held))]


def _limit(info: FieldInfo, name: str) -> float | None:
    return next((getattr(m, name) for m in info.metadata if getattr(m, name, None) is not None), None)


def field_info(of: Part | type[Part], name: str) -> FieldFacts:
    """What is declared of field `name`: label, unit, help, limits, choices, what is allowed in words."""
    return _facts(of if isinstance(of, type) else type(of), name)


@cache
def _facts(part: type[Part], name: str) -> FieldFacts:
    info = part.model_fields[name]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    bare, many, words = unwrap(info.annotation)
    words = next((m for m in info.metadata if isinstance(m, Words)), words)
    least, most, unit = _limit(info, "ge"), _limit(info, "le"), str(extra.get("unit", ""))
    choices = get_args(bare) if get_origin(bare) is Literal else ()
    kind = words.kind if words else _KINDS.get(bare, "choice" if choices else "table")
    return FieldFacts(
        info.title or name,
        unit,
        info.description or "",
        least,
        most,
        choices,
        f"list of {kind}" if many else kind,
        _allowed(kind, many, words, choices, least, most, unit),
        info.is_required(),
        None if info.default is PydanticUndefined else info.default,
        tuple(map(str, extra.get("refers_to", []))),  # type: ignore[arg-type]
        tuple(map(str, extra.get("only_for", []))),  # type: ignore[arg-type]
    )


_KINDS = {float: "number", int: "whole number", bool: "yes or no", str: "text"}


def _allowed(
    kind: str,
    many: bool,
    words: Words | None,
    choices: tuple[Any, ...],
    least: float | None,
    most: float | None,
    unit: str,
) -> str:
    if words:
        text = words.allowed
    elif choices:
        text = ", ".join(trade.listed(c, toml_value(c)) for c in choices)
    else:
        text = {"yes or no": "true or false", "table": "a table of keys"}.get(kind, f"a {kind}")
    span = _span(least, most, unit)
    if span:
        text = f"{span} ({text})" if words else span if kind == "number" else f"{span}, {text}"
    return f"a list; each: {text}" if many else text


def _span(least: float | None, most: float | None, unit: str) -> str:
    if least is None and most is None:
        return ""
    if most is None:
        return f"{least:,g} {unit} or more".replace("  ", " ")
    low = f"{least:,.10g} to " if least is not None else "up to "
    return f"{low}{most:,.10g} {unit}".rstrip()


def toml_value(value: Any) -> str:
    """A value as it would be written in the job file, on one line and short enough for a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        safe = "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in value[:60])
        return f'"{safe}{"..." if len(value) > 60 else ""}"'
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, int) and value.bit_length() > 64:
        return "a number too large for anything"
    return str(value)


def entered(part: Part, name: str) -> bool:
    """Whether the job has this field at all. A list entered empty says that there is none; one left out says nothing."""
    return name in part.model_fields_set
