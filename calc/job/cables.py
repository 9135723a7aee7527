"""Cables and sets of conductors as the trade says them.

    '12/2 with ground'          jacketed cable; type NM unless another is said; the ground inside is as made
    '6/3 NM'                    three 6 AWG and, as made, a 10 AWG ground
    '3 x 14/2'                  three such cables
    '4/0-4/0-4/0-2/0 SER Al'    a service-entrance set, conductor by conductor
    '3 x 6 THHN + 10 ground'    single conductors

A cable that nobody makes is refused with what is made.
"""

import csv
import difflib
import re
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from calc.job.fields import Words, refuse

SIZES = (
    *("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"),
    *("250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000"),
)
"""Conductor sizes, smallest first: AWG to 4/0, then kcmil."""

INSULATIONS = (
    *("THHN", "THWN", "THWN-2", "THW", "THW-2", "THHW", "TW", "XHHW", "XHHW-2", "XHH"),
    *("RHH", "RHW", "RHW-2", "USE", "USE-2"),
)
_MATERIALS = {"cu": "copper", "copper": "copper", "al": "aluminum", "aluminum": "aluminum", "aluminium": "aluminum"}
_TYPES = {"nm": "NM", "nm-b": "NM", "nmb": "NM", "romex": "NM", "uf": "UF", "uf-b": "UF", "ufb": "UF"} | {
    t.lower(): t for t in ("MC", "AC", "SER", "SEU")
}
_PASSED_OVER = {*_MATERIALS, "awg", "kcmil", "mcm"}
_SIZE = r"(?:[1-4]/0|[0-9]{1,4})"
_PLAIN = 'a cable or conductors such as "12/2 with ground", "4/0-4/0-4/0-2/0 SER Al", "3 x 6 THHN + 10 ground"'


@dataclass(frozen=True, slots=True)
class Conductors:
    """A cable, or a set of single conductors.

    wires: sizes of the circuit conductors, the neutral last; ground: sizes of the equipment grounding conductors.
    kind is the cable's type or the conductors' insulation ('' when not said). count: how many such cables.
    confidence: how well it is known that the cable is made so ('' for single conductors).
    """

    text: str
    kind: str
    material: str
    wires: tuple[str, ...]
    ground: tuple[str, ...] = ()
    ground_material: str = ""
    cable: bool = False
    bare: tuple[str, ...] = ()
    covered: bool = True
    count: int = 1
    confidence: str = ""

    @property
    def size(self) -> str:
        """Size of the ungrounded conductors."""
        return self.wires[0] if self.wires else (self.ground or self.bare)[0]

    @property
    def neutral(self) -> str:
        """Size of the conductor that serves as neutral where there is one: the last."""
        return self.wires[-1] if self.wires else ""

    @property
    def ground_size(self) -> str:
        """Size of the equipment grounding conductor; '' when there is none."""
        return self.ground[0] if self.ground else ""

    def __str__(self) -> str:
        return self.text


@cache
def made_cables() -> tuple[Conductors, ...]:
    """Every cable of the list of made cables."""
    text = resources.files(__package__).joinpath("made_cables.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        Conductors(
            row["called"],
            row["type"],
            row["material"],
            tuple(row["wires"].split()),
            tuple(row["ground"].split()),
            row["material"],
            cable=True,
            confidence=row["confidence"],
        )
        for row in rows
    )


def parse_size(value: object) -> str:
    """A conductor size as the tables name it: 14, '14 AWG', '2/0', '250 kcmil' -> '14', '14', '2/0', '250'.

    Raises ValueError for a size that is not made.
    """
    text = re.sub(r"[\s-]*(awg|kcmil|mcm|ga|gauge|gage)\.?$", "", str(value).strip().lstrip("#"), flags=re.IGNORECASE)
    text = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}.get(text, text)
    if isinstance(value, bool) or text not in SIZES:
        raise ValueError(f"{value} is not a conductor size")
    return text


def parse_conductors(text: str) -> Conductors:
    """Read a cable or a set of conductors. Raises ValueError, saying what is made, when it is neither."""
    said = " ".join(text.replace("×", "x").replace("–", "-").replace(",", " ").split())
    if not said:
        raise ValueError("no cable is given")
    count, rest = _count(said)
    words = rest.split()
    kinds = [_TYPES[w.lower()] for w in words if w.lower() in _TYPES]
    first, *others = [w for w in words if w.lower() not in _TYPES and w.lower() not in _MATERIALS] or [""]
    if re.fullmatch(r"[0-9]{1,2}[/-][2-9]", first):
        found = _made(kinds[0] if kinds else "NM", first.replace("-", "/"), _material(words))
        found = replace(found, ground=found.ground if _has_ground(" ".join(others)) else ())
    elif re.fullmatch(rf"{_SIZE}(-{_SIZE}){{2,4}}", first):
        found = _dashed(first, others, kinds, _material(words))
    else:
        return replace(_singles(said), text=text)
    return replace(found, text=text, count=count)


def _count(said: str) -> tuple[int, str]:
    found = re.fullmatch(r"([0-9]{1,3}) ?x ?([0-9].*)", said, re.IGNORECASE)
    if not found:
        return 1, said
    if int(found[1]) == 0:
        raise ValueError("the count is 0")
    return int(found[1]), found[2]


def _material(words: list[str]) -> str:
    named = {_MATERIALS[w.lower()] for w in words if w.lower() in _MATERIALS}
    if len(named) > 1:
        raise ValueError("both copper and aluminum are named")
    return named.pop() if named else ""


def _has_ground(said: str) -> bool:
    """Whether the words after a cable's sizes leave it its ground."""
    if re.fullmatch(r"(?:(?:with|w/?|\+)? ?(?:ground|gnd|g))?", said, re.IGNORECASE):
        return True
    if re.fullmatch(r"(?:without|w/o|no) ?(?:ground|gnd|g)", said, re.IGNORECASE):
        return False
    raise ValueError(f"{said!r} is not understood; cable types: {', '.join(dict.fromkeys(_TYPES.values()))}")


def _made(kind: str, called: str, material: str) -> Conductors:
    of_kind = [c for c in made_cables() if c.kind == kind]
    fits = [c for c in of_kind if c.text == called and material in ("", c.material)]
    if len(fits) == 1:
        return fits[0]
    if fits:
        raise ValueError(f"{kind} {called} is made in copper and in aluminum: add Cu or Al")
    names = [c.text for c in of_kind if material in ("", c.material)] or [c.text for c in of_kind]
    others = [f"{c.kind} {c.material}" for c in made_cables() if c.text == called]
    near = difflib.get_close_matches(called, names, 8, 0.0)
    also = f"; {called} is made as {' and '.join(dict.fromkeys(others))}" if others else ""
    raise ValueError(
        f"{' '.join(p for p in (kind, material, called) if p)} is not made; nearest made: {', '.join(near)}{also}"
    )


def _dashed(sizes: str, others: list[str], kinds: list[str], material: str) -> Conductors:
    insulation = " ".join(others).upper()
    if kinds and _has_ground(" ".join(others)):
        return _made(kinds[0], sizes, material)
    if insulation not in INSULATIONS:
        raise ValueError(f"say what {sizes} is: SER, SEU, or an insulation such as XHHW-2")
    return _set_of_singles(sizes.split("-"), insulation, material)


def _set_of_singles(sizes: list[str], insulation: str, material: str) -> Conductors:
    """Two ungrounded and a neutral, then (four or more) the equipment ground."""
    named = [parse_size(s) for s in sizes]
    wires, ground = (named[:-1], named[-1:]) if len(named) > 3 else (named, [])
    return Conductors("", insulation, material or "copper", tuple(wires), tuple(ground), material or "copper")


def _singles(said: str) -> Conductors:
    """Single conductors: terms joined by '+', each with a count, a size and its role."""
    said, uncovered = re.subn(r"\bwithout cover(?:ing)?\b", "", said, flags=re.IGNORECASE)
    terms = said.split("+")
    named = [_material(term.split()) for term in terms]
    only = set(named) - {""}
    by_role: dict[str, list[str]] = {"": [], "neutral": [], "ground": [], "bare": []}
    metals: dict[str, str] = {}
    kinds = set()
    for term, metal in zip(terms, named, strict=True):
        if not metal and len(only) > 1:
            raise ValueError("copper and aluminum are both named: name one in each part")
        count, rest = _count(term.strip())
        first, *words = [w for w in rest.split() if w.lower() not in _PASSED_OVER] or [""]
        kinds |= {w.upper() for w in words if w.upper() in INSULATIONS}
        role = " ".join(w.lower() for w in words if w.upper() not in INSULATIONS)
        role = "ground" if role == "bare ground" else role
        if role not in by_role:
            raise ValueError(f"{role!r} is not understood")
        by_role[role] += [parse_size(first)] * count
        metal = metal or next(iter(only), "copper")
        if metals.setdefault(role.replace("neutral", ""), metal) != metal:
            raise ValueError("the circuit conductors are of one metal")
    if len(kinds) > 1:
        raise ValueError("one set has one insulation; write each in an entry of its own")
    return Conductors(
        said,
        kinds.pop() if kinds else "",
        metals.get("") or next(iter(metals.values())),
        (*by_role[""], *by_role["neutral"]),
        tuple(by_role["ground"]),
        metals.get("ground", metals.get("", "")),
        bare=tuple(by_role["bare"]),
        covered=not uncovered,
    )


def _read_conductors(value: object) -> object:
    if not isinstance(value, str):
        raise refuse(_PLAIN)
    try:
        return parse_conductors(value)
    except ValueError as error:
        raise refuse(_PLAIN, str(error)) from None


def _read_size(value: object) -> object:
    try:
        return parse_size(value)
    except ValueError:
        raise refuse(_SIZE_WORDS.allowed, _beside(value)) from None


def _beside(value: object) -> str:
    """The sizes on both sides of one that is not made, for whoever means 13 or 5."""
    number = re.fullmatch(r"#?(\d{1,2})(\s*awg)?", str(value).strip(), flags=re.IGNORECASE)
    gauges = sorted(int(size) for size in SIZES if size.isdigit() and int(size) < 250)
    if number is None or not gauges[0] < int(number[1]) < gauges[-1]:
        return ""
    thinner = min(gauge for gauge in gauges if gauge > int(number[1]))
    thicker = max(gauge for gauge in gauges if gauge < int(number[1]))
    return f"no {number[1]} AWG is made: take {thinner} or {thicker}"


_SIZE_WORDS = Words("conductor size", 'a size from 18 to 4/0 AWG or 250 to 1000 kcmil, such as 12 or "4/0"')
Size = Annotated[str, BeforeValidator(_read_size, json_schema_input_type=int | str), _SIZE_WORDS]
Cable = Annotated[
    Conductors, BeforeValidator(_read_conductors), WithJsonSchema({"type": "string"}), Words("cable", _PLAIN)
]
