"""What was typed, cut into what it names: quantities, sizes, cables, conductors, boxes and words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from calc.job import INSULATIONS, lengths, trade
from calc.quick.question import LENGTHS, Entry, Question

_N = r"[0-9]{1,3}"
_SIZE = r"(?:[1-4]/0|1000|[2-9][0-9]{2}|1[0-8]|[1-9])"
_SIZED = r"[\s-]*(?:awg|kcmil|mcm|gauge|gage|ga)\b"
_AWG = rf"(?:{_SIZED})?"
_METAL = r"(?:\s*(?:copper|cu|aluminum|aluminium|al)\b)?"
_INSULATION = "|".join(sorted((i.lower() for i in INSULATIONS), key=len, reverse=True))
_CABLES = r"nm-b|nmb|nm|romex|uf-b|ufb|uf|mc|ac"
_GROUND = r"(?:\s*(?:(?:with|w/|\+)\s*(?:ground|gnd|g)|without\s*(?:ground|gnd)|w/o\s*(?:ground|gnd|g))\b)?"
_FRACTION = r"(?:[0-9]+-)?[0-9]+/[0-9]+"
_TRADE = r"(?:[1-3][ -])?(?:1/2|1/4|3/4|3/8)"
_END = r"(?![\w/])"
_NUMBER = rf"(?:[0-9]{{1,3}}(?:,[0-9]{{3}})+(?:\.[0-9]+)?|{_FRACTION}|[0-9]*\.[0-9]+|[0-9]+)"

_PATTERNS = (
    ("box", r"[0-9](?:-[0-9]/[0-9])?\s*x\s*(?:[0-9](?:-[0-9]/[0-9])?\s*x\s*)?[0-9](?:-[0-9]/[0-9])?\s*(?:square|sq|octagon|octagonal|round|device)\b"),
    ("conductors", rf"(?:{_N}\s*x\s*#?|{_N}\s*#){_SIZE}{_AWG}{_METAL}(?:\s*(?:{_INSULATION})\b)?{_METAL}{_END}"),
    ("conductors", rf"{_N}\s+{_SIZE}{_AWG}{_METAL}\s*(?:{_INSULATION})\b{_METAL}{_END}"),
    ("conductors", rf"{_N}\s+{_SIZE}{_SIZED}{_METAL}{_END}"),
    ("cable", rf"(?:{_SIZE}-){{2,4}}{_SIZE}(?:\s*(?:ser|seu|{_INSULATION})\b){_METAL}{_END}"),
    ("trade", rf"(?:(?:{_TRADE}|[1-6])\s*(?:in\.?|inch|\"){_END}|{_TRADE}{_END})"),
    ("wire", rf"#?{_SIZE}{_AWG}{_METAL}\s*(?:{_INSULATION})\b{_METAL}{_END}"),
    ("cable", rf"(?:{_N}\s*x?\s+)?(?:14|12|10|8|6|4|3|2)/[2-4](?:\s*(?:{_CABLES})\b)?{_METAL}{_GROUND}{_END}"),
    ("length", r"[0-9]+\s*(?:'|ft\.?|feet|foot)\s*-?\s*[0-9]+(?:[ -][0-9]+/[0-9]+)?\s*(?:\"|in\.?|inches)" + _END),
    ("size", rf"#(?:1[0-8]|[1-9]){_AWG}{_END}"),
    ("size", rf"{_SIZE}{_SIZED}"),
    ("size", rf"[1-4]/0{_END}"),
)  # fmt: skip
_COMPILED = tuple((kind, re.compile(pattern, re.IGNORECASE)) for kind, pattern in _PATTERNS)
_MIXED = re.compile(r"(?:[0-9]+[ -])?(?:1/2|[13]/4|[1357]/8|[0-9]{1,2}/16)(?=\s|[a-z%\"'])", re.IGNORECASE)
_COUNTED = re.compile(r"([1-9][0-9]?)\s+(?=[a-z])", re.IGNORECASE)
_COUNTED_WIRE = re.compile(r"([0-9]+)\s+([0-9#].*)")
_COUNTS = {"two": "2", "three": "3", "four": "4"}
_NUMBERS = re.compile(rf"\b(?:{'|'.join(_COUNTS)})(?= (?!way\b|gang\b))", re.IGNORECASE)
_TRADE_SIZES = ("1", "2", "3", "4")
_BARE = re.compile(_NUMBER)
_WORD = re.compile(r"[a-z0-9%°'\"./&+-]+", re.IGNORECASE)
_SIGNS = str.maketrans({"×": "x", "’": "'", "′": "'", "”": '"', "″": '"', "“": '"', "²": "2", "³": "3"})
FILLERS = frozenset(
    {"a", "an", "the", "at", "of", "on", "for", "with", "and", "in", "is", "to", "from", "over", "one", "way", "under"}
)


@dataclass(frozen=True)
class Token:
    """Something that was read: how, the text, and for a quantity its unit; `named` is the word that stands beside it.

    For a word `means` has each entry that it may be for, with the value there.
    """

    kind: str
    text: str
    unit: str = ""
    named: str = ""
    count: int = 1
    means: tuple[tuple[str, Any], ...] = ()


class NotRead(Exception):
    """A word that means nothing to a question, or `alone` one that has no number beside it; and what was read before it."""

    def __init__(self, word: str, before: list[Token], alone: bool = False) -> None:
        super().__init__(word)
        self.word, self.before, self.alone = word, before, alone


def tokens(question: Question, text: str) -> list[list[Token]]:
    """What a text names for a question, in its order, in each way in which its words can stand beside its numbers.

    NotRead for a word that means nothing to it.
    """
    text = _NUMBERS.sub(
        lambda said: _COUNTS[said[0].lower()], " ".join(text.translate(_SIGNS).replace(";", " ").split())
    )
    found: list[Token] = []
    vocabulary = _vocabulary(question)
    markers = {word for entry in question.entries for word in entry.named}
    takes = {kind for entry in question.entries for kind in entry.at}
    at = 0
    while at < len(text):
        if text[at] in " ,:=":
            at += 1
            continue
        token, end = _next(text, at, question, vocabulary, markers, takes)
        if token is not None:
            found.append(token)
        else:
            word = _WORD.match(text, at)
            end = word.end() if word else at + 1
            if text[at:end].lower() not in FILLERS:
                raise NotRead(text[at:end], found)
        at = end
    ways = [way for cut in _cut(question, found) for way in _attached(question, cut, 0)]
    if not ways:
        raise NotRead(_lonely(question, found), [token for token in found if token.kind != "marker"], alone=True)
    return ways


def _lonely(question: Question, found: list[Token]) -> str:
    """The first word that stands beside no number that it can speak of."""
    lonely = (
        token.text
        for at, token in enumerate(found)
        if token.kind == "marker"
        and not any(_speaks_of(question, token.text, one) for one in found[max(at - 1, 0) : at + 2])
    )
    return next(lonely, next(token.text for token in found if token.kind == "marker"))


def _cut(question: Question, found: list[Token]) -> Iterator[list[Token]]:
    """The tokens, with the number that stands before a cable or a wire apart where it is no count, or may be a trade size."""
    takes = {kind: entry.many for entry in question.entries for kind in entry.at}
    for at, token in enumerate(found):
        apart = _COUNTED_WIRE.fullmatch(token.text) if token.kind in ("cable", "conductors") else None
        if apart is None:
            continue
        number = Token("number", apart[1])
        if token.kind == "cable" and not takes["cable"]:
            yield from _cut(question, [*found[:at], number, Token("cable", apart[2]), *found[at + 1 :]])
            return
        how = next(
            (kind for kind, pattern in _COMPILED if kind in ("wire", "size") and pattern.fullmatch(apart[2])), ""
        )
        if how and how in takes and _may_stand_apart(question, apart[1], takes):
            yield from _cut(question, [*found[:at], number, Token(how, apart[2]), *found[at + 1 :]])
    yield found


def _may_stand_apart(question: Question, number: str, takes: Mapping[str, bool]) -> bool:
    """Whether the number before conductors may be something else: a trade size, or what an entry takes without a unit."""
    if "trade" in takes and number in _TRADE_SIZES:
        return True
    return any(entry.unit and entry.bare and not entry.only_named for entry in question.entries)


def _attached(question: Question, found: list[Token], at: int) -> Iterator[list[Token]]:
    """The tokens with each marker on a number right beside it that it can speak of, in every way in which all find one."""
    here = next((n for n in range(at, len(found)) if found[n].kind == "marker"), None)
    if here is None:
        yield [token for token in found if token.kind != "marker"]
        return
    for beside in (here - 1, here + 1):
        if 0 <= beside < len(found) and _speaks_of(question, found[here].text, found[beside]):
            named = [*found]
            named[beside] = replace(found[beside], named=found[here].text)
            yield from _attached(question, named, here + 1)


def _speaks_of(question: Question, marker: str, token: Token) -> bool:
    if token.named or token.kind not in ("quantity", "number"):
        return False
    entries = [entry for entry in question.entries if marker in entry.named]
    return any(token.kind == "number" or fits_unit(token, entry) for entry in entries)


def _next(
    text: str,
    at: int,
    question: Question,
    vocabulary: dict[str, tuple[tuple[str, Any], ...]],
    markers: set[str],
    takes: set[str],
) -> tuple[Token | None, int]:
    word = _phrase(text, at, vocabulary, markers)
    if word is not None and not text[at].isdigit():
        return word
    if (mixed := _MIXED.match(text, at)) and (named := _unit(text, mixed.end(), question))[0] in _own_units(question):
        return Token("quantity", text[at : named[1]], named[0]), named[1]
    if (counted := _COUNTED.match(text, at)) and (several := _phrase(text, counted.end(), vocabulary, markers)):
        token, end = several
        if any(question.entry(name).many for name, _ in token.means):
            return Token("word", text[at:end], count=int(counted[1]), means=token.means), end
    for kind, pattern in _COMPILED:
        if (found := pattern.match(text, at)) and (kind in takes or kind == "length"):
            return Token(
                "quantity" if kind == "length" else kind, found[0], "ft" if kind == "length" else ""
            ), found.end()
    if word is not None:
        return word
    number = _BARE.match(text, at)
    if number is None:
        return None, at
    unit, end = _unit(text, number.end(), question)
    if unit:
        return Token("quantity", text[at:end], unit), end
    if number.end() < len(text) and text[number.end()] not in " ,:=":
        return None, at
    return Token("number", number[0]), number.end()


def _phrase(
    text: str, at: int, vocabulary: dict[str, tuple[tuple[str, Any], ...]], markers: set[str]
) -> tuple[Token, int] | None:
    """The longest word or words of the question that stand here."""
    rest = text[at:].lower()
    fits = [phrase for phrase in (*vocabulary, *markers) if rest.startswith(phrase) and not re.match(r"[\w/-]", rest[len(phrase):])]  # fmt: skip
    if not fits:
        return None
    longest = max(fits, key=len)
    end = at + len(longest)
    if longest in vocabulary:
        return Token("word", text[at:end], means=vocabulary[longest]), end
    return Token("marker", longest), end


def _vocabulary(question: Question) -> dict[str, tuple[tuple[str, Any], ...]]:
    """Each word or phrase that the question knows, in small letters, with what it means for which entries."""
    known: dict[str, list[tuple[str, Any]]] = {}
    for entry in question.entries:
        for said, value in _words_of(entry):
            plain = said.lower()
            for spelling in {plain, plain.replace("-", " "), *({plain + "s", plain + "es"} if entry.many else ())}:
                known.setdefault(spelling, []).append((entry.name, value))
    return {word: tuple(means) for word, means in known.items()}


def _words_of(entry: Entry) -> Iterator[tuple[str, Any]]:
    yield from entry.words
    yield from ((said, value) for said, means in entry.either for value in means)
    if entry.words or entry.unit or set(entry.at) != {""}:
        return
    choices = [choice for choice in entry.facts.choices if isinstance(choice, str)]
    yield from ((choice, choice) for choice in choices)
    yield from trade.names_of(choices).items()
    yield from ((said, choice) for said, means in trade.either_of(choices).items() for choice in means)


def _unit(text: str, at: int, question: Question) -> tuple[str, int]:
    """The unit that stands after a number, by any name of any unit; ('', at) where none does."""
    found = re.match(
        r"[\s-]*((?:square|sq\.?|cubic|cu\.?)\s*[a-z]+\.?|[a-z%°'\"Ω]+[23]?)(?![\w/])", text[at:], re.IGNORECASE
    )
    if found is None:
        return "", at
    name = trade.unit_name(found[1])
    if name in known_units() | _own_units(question):
        return name, at + found.end()
    return "", at


def _own_units(question: Question) -> set[str]:
    """The names of the units that the question's entries are in, feet and inches aside."""
    return {each for entry in question.entries if entry.unit for each in trade.units_of(entry.unit)} - {*_LENGTHS}


def known_units() -> frozenset[str]:
    """Every name of every unit, as `trade.unit_name` has it."""
    return frozenset(name for unit in trade.all_units() for name in trade.units_of(unit)) | {*_LENGTHS}


_LENGTHS = {"ft": "ft", "feet": "ft", "foot": "ft", "'": "ft", "in": "in", "inch": "in", "inches": "in", '"': "in"}


def fits_unit(token: Token, entry: Entry) -> bool:
    """Whether a quantity is of a unit that an entry takes."""
    if entry.unit in LENGTHS:
        return token.unit in _LENGTHS
    return token.unit in trade.units_of(entry.unit) if entry.unit else False


def value_of(token: Token, entry: Entry) -> Any:
    """The value of a number or quantity for an entry, in the entry's unit. ValueError where it is none."""
    if entry.unit in LENGTHS:
        inches = lengths.parse_inches(token.text.replace(",", ""), entry.unit)
        return round(inches / (12 if entry.unit == "ft" else 1), 9)
    return trade.quantity(token.text, entry.unit)
