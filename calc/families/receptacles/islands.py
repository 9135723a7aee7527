"""Islands and peninsulas: one each, by area, or none but a provision, as the edition has it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from calc.codebook import Codebook
from calc.families.receptacles.tally import Tally, ones
from calc.job import Counter, CounterOutlet, format_length, place
from calc.wiring.reading import read
from calc.work import IN_PER_FT, Missing, Sheet, Value, constant, excess, given, larger, smaller, total, when, whole

NONE, ONE = constant("none", 0, ""), constant("one", 1, "")
IN2_PER_FT2 = constant("square inches per square foot", 144, "in2/ft2")


def island(
    sheet: Sheet, code: Codebook, counter: Counter, counted: Sequence[CounterOutlet], checking: bool, tally: Tally
) -> str:
    """The receptacles that an island or peninsula needs, by the edition's method; gives that in a few words."""
    if counter.depth_in is None:
        raise Missing(f"The depth of the {counter.name} is not entered (depth_in): its size decides what it needs.",
                      code.cite("island"), at=place(counter, "depth_in"))  # fmt: skip
    need = _METHODS[code.method("island")](sheet, code, counter)
    tally.needed.append(need)
    there = ones(f"{counter.name}, {format_length(outlet.at_in)} from its left end" for outlet in counted)
    if checking:
        tally.provided.append(there)
    _clear_below(sheet, code, counter)
    if code.method("island") == "provision":
        _provision(sheet, code, counter, counted)
        return "none required, " + ("wiring is ready for one" if counter.provision else "wiring is made ready for one")
    if checking:
        provided = sheet.line("island_provided", there, item=counter.name)
        more = need.number - provided.number
        sheet.check("island_enough", provided >= need, remedy=f"add {more:g} at the {counter.name}, {_how(code)}", item=counter.name,
                cites=[code.cite("island")])  # fmt: skip
        if provided.number < need.number:
            tally.gaps.append(counter.name)
    else:
        sheet.find(
            "island_place", f"{need.number:g}, {_how(code)}", item=counter.name, cites=[code.cite("counter_below")]
        )
    if counter.kind == "peninsula" and code.has("peninsula_end"):
        _outer_end(sheet, code, counter, counted)
    return f"needs {need.number:g}" + (f", has {len(counted)}" if checking else "")


def _sides(counter: Counter) -> tuple[Value, Value]:
    length = read(counter, "length_in", f"{counter.name}, length")
    return length, read(counter, "depth_in", f"{counter.name}, depth")


def _one_each(sheet: Sheet, code: Codebook, counter: Counter) -> Value:
    """One for the island, or for each part that is large enough where a sink or cooktop divides it."""
    length, depth = _sides(counter)
    parts = [length]
    kinds = code.members("counter_behind_kinds")
    dividing, shown = [], []
    for item in sorted((b for b in counter.breaks if b.kind in kinds), key=lambda b: b.at_in):
        behind = given(f"top behind the {item.kind}", item.behind_in or 0.0, "in", place(item, "behind_in"))
        apart = behind < code["island_divided"]
        shown.append(apart if apart.holds else behind >= code["island_divided"])
        if apart.holds:
            dividing.append(item)
    if shown:
        said = ", ".join(item.kind for item in dividing) or "nothing"
        sheet.find("island_divided", said, shown, item=counter.name)
    begin: Value | None = None
    if dividing:
        parts = []
        for item in dividing:
            at = read(item, "at_in", f"{item.kind} begins")
            parts.append(at if begin is None else at - begin)
            begin = at + read(item, "width_in", f"{item.kind}, width")
        assert begin is not None
        parts.append(length - begin)
    each = [
        when(larger(part, depth) >= code["island_long"], ONE, NONE)
        * when(smaller(part, depth) >= code["island_short"], ONE, NONE)
        for part in parts
    ]
    return sheet.line("island_needed", total(each, ""), item=counter.name, cites=[code.cite("island")])


def _by_area(sheet: Sheet, code: Codebook, counter: Counter) -> Value:
    """One for the first part of the area, one more for each further part."""
    length, depth = _sides(counter)
    area = sheet.line("island_area_ft2", length * depth / IN2_PER_FT2, item=counter.name)
    more = whole(excess(area, code["island_first"]) / code["island_more"], "up")
    return sheet.line("island_needed", ONE + more, item=counter.name, cites=[code.cite("island")])


def _none(sheet: Sheet, code: Codebook, counter: Counter) -> Value:
    """None is required."""
    return sheet.line("island_needed", NONE, item=counter.name, cites=[code.cite("island")])


_METHODS: dict[str, Callable[[Sheet, Codebook, Counter], Value]] = {
    "one each": _one_each, "by area": _by_area, "provision": _none,
}  # fmt: skip


def _how(code: Codebook) -> str:
    above, below, overhang = (
        f"{code[rule].number:g} in" for rule in ("counter_above", "counter_below", "counter_overhang")
    )
    return (
        f"in the top (a listed assembly), up to {above} above it, or up to {below} below it under an overhang of {overhang} "
        "or less"
    )


def _provision(sheet: Sheet, code: Codebook, counter: Counter, counted: Sequence[CounterOutlet]) -> None:
    """A receptacle that serves the top, or wiring made ready for a later one."""
    cites = [code.cite("island")]
    if counter.provision is None and not counted:
        sheet.unknown("island_ready_enough", "a receptacle (outlets), or wiring made ready for one (provision)",
                  place(counter, "provision"), item=counter.name, cites=cites)  # fmt: skip
        return
    ready = given(f"provision at the {counter.name}", float(bool(counter.provision)), "", place(counter, "provision"))
    either = sheet.line("island_ready", ones("receptacle" for _ in counted) + ready, item=counter.name, cites=cites)
    sheet.check("island_ready_enough", either >= ONE, remedy=f"bring wiring to the {counter.name} for a later receptacle",
            item=counter.name, cites=cites)  # fmt: skip


def _clear_below(sheet: Sheet, code: Codebook, counter: Counter) -> None:
    """From 2026 on no receptacle stands close below the top."""
    low = [o for o in counter.outlets if o.below_in is not None and o.status != "removed"]
    if not code.has("counter_clear_below"):
        return
    for number, outlet in enumerate(low, 1):
        below = read(outlet, "below_in", "its depth below the top")
        sheet.check("clear_below", below >= code["counter_clear_below"], item=f"{counter.name}, receptacle {number}",
                remedy="take it out, or move it into or above the top; one inside a drawer is an exception")  # fmt: skip


def _outer_end(sheet: Sheet, code: Codebook, counter: Counter, counted: Sequence[CounterOutlet]) -> None:
    """A peninsula has one of its receptacles near its outer end; it is entered from the wall that it joins."""
    limit = sheet.line("peninsula_end_in", code["peninsula_end"] * IN_PER_FT, item=counter.name)
    sheet.remark("note_peninsula")
    if not counted:
        return
    length, _ = _sides(counter)
    away = [length - read(outlet, "at_in", "receptacle") for outlet in counted]
    nearest = sheet.line("from_outer_end_in", smaller(*away), item=counter.name)
    sheet.check("peninsula_end_served", nearest <= limit, item=counter.name, cites=[code.cite("peninsula_end")],
            remedy=f"move one to within {limit.number:g} in of the outer end")  # fmt: skip
