"""How full a raceway is, which trade size holds what is in it, and how much more would fit."""

from __future__ import annotations

from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.raceway.contents import Held, Kind
from calc.job import Raceway, Run, place
from calc.wiring.reading import read
from calc.work import IN_PER_FT, Missing, Refused, Sheet, Value, constant, excess, smaller, total, when, whole
from calc.work.values import EXACT_DECIMALS

COUNTS = {"one": constant("1", 1, ""), "two": constant("2", 2, ""), "three": constant("3", 3, "")}
QUARTER_PI = constant("pi / 4", 0.785398163, "")


@dataclass
class Fill:
    """A raceway being worked: what is in it, each kind's area, and the share that may be filled."""

    s: Sheet
    code: Codebook
    kind: str
    held: Held
    areas: dict[Kind, Value]
    number: Value
    fill: Value
    share: Value
    nipple: bool
    limits: dict[str, Value] = field(default_factory=dict)

    @property
    def like(self) -> Kind | None:
        """The one kind that is in it, if all are alike."""
        return next(iter(self.held)) if len(self.held) == 1 else None

    def inside(self, size: str) -> Value:
        """Area inside a trade size, printed once."""
        key = f"inside_in2[{size}]"
        if key not in self.limits:
            row = self.code.row("raceway_inside", kind=self.kind, trade_size=size)
            self.limits[key] = self.s.line("inside_in2", row["area_in2"], item=size)
        return self.limits[key]

    def room(self, size: str) -> Value:
        """What the trade size has room for: an area, or, of like conductors, a number of them."""
        key = f"room[{size}]"
        if key not in self.limits:
            allowed = self.limits[key] = self.s.line("limit_in2", as_printed(self.inside(size) * self.share), item=size)
            if self.like is not None:
                self.limits[key] = self.s.line("allowed", self.count_in(allowed), item=size)
        return self.limits[key]

    @property
    def need(self) -> Value:
        """What is in it, in the measure of ``room``."""
        return self.fill if self.like is None else self.number

    def count_in(self, area: Value) -> Value:
        """How many of the one kind go into an area; of conductors, not of cables, a large rest counts as one more."""
        assert self.like is not None
        quotient = area / self.areas[self.like]
        if self.like.form == "cable":
            return whole(quotient, "down")
        return whole(quotient + (COUNTS["one"] - self.code["count_rounding"]), "down")

    def holds(self, size: str) -> bool:
        """Whether the trade size holds everything, worked aside without printing a line."""
        cells = next(r for r in self.code.rows("raceway_inside") if (r["kind"], r["trade_size"]) == (self.kind, size))
        allowed = int(round(float(cells["area_in2"]) * self.share.base * 1000, EXACT_DECIMALS) + 0.5) / 1000
        if self.like is None:
            return round(allowed, EXACT_DECIMALS) >= round(self.fill.number, EXACT_DECIMALS)
        rest = 0.0 if self.like.form == "cable" else 1 - self.code["count_rounding"].number
        return int(round(allowed / self.areas[self.like].number + rest, EXACT_DECIMALS)) >= self.number.number

    def sizes(self) -> list[str]:
        """Trade sizes in general use, smallest first."""
        return [r["trade_size"] for r in self.code.rows("raceway_inside")
                if r["kind"] == self.kind and r["general_use"] == "yes"]  # fmt: skip


def as_printed(area: Value) -> Value:
    """An area to three decimals, as the table of raceways prints its columns of 31, 40, 53 and 60 %."""
    return whole(area, "half up", places=3)


def filled(sheet: Sheet, code: Codebook, of: Raceway | Run, kind: str, contents: Held) -> Fill:
    """Lines down to the area that is filled and the share that may be."""
    areas, number, fill = taken(sheet, code, of, contents)
    share, nipple = _share(sheet, code, of, number)
    return Fill(sheet, code, kind, contents, areas, number, fill, share, nipple)


def taken(sheet: Sheet, code: Codebook, of: Raceway | Run, contents: Held) -> tuple[dict[Kind, Value], Value, Value]:
    """The area of one of each kind, the number of all, and the area that they fill together."""
    areas = {each: _area(sheet, code, of, each) for each in contents}
    parts = []
    for each, counts in contents.items():
        cites = [code.cite("cable_as_conductor")] if each.form == "cable" else []
        parts.append(sheet.line("part_in2", total(counts) * areas[each], item=each.label, cites=cites))
    number = sheet.line("conductors", total([count for counts in contents.values() for count in counts]))
    return areas, number, sheet.line("fill_in2", total(parts, "in2"))


def _area(sheet: Sheet, code: Codebook, of: Raceway | Run, kind: Kind) -> Value:
    if kind.form == "cable":
        width = cable_width(of)
        return sheet.line(
            "area_in2", QUARTER_PI * width * width, item=kind.label, cites=[code.cite("cable_as_conductor")]
        )
    if kind.form == "bare":
        row = code.row("conductor_properties", size=kind.size, stranding="stranded")
        sheet.remark("note_bare_stranded")
        return sheet.line("area_in2", row["area_in2"], item=kind.label, cites=[code.cite("bare_conductor")])
    row = code.row(f"{kind.form}_conductor", insulation=kind.insulation, size=kind.size)
    return sheet.line("area_in2", row["area_in2"], item=kind.label)


def cable_width(of: Raceway | Run) -> Value:
    """The larger outside diameter of the cables, which no table gives."""
    if isinstance(of, Run) or of.cable_width_in is None:
        raise Missing(
            "A cable is in this raceway, and no table gives its outside diameter: put it in [[raceways]] with "
            "the larger diameter (cable_width_in), from the maker's sheet or a caliper.",
            at=place(of, "raceway" if isinstance(of, Run) else "cable_width_in"),
        )
    return read(of, "cable_width_in")


def _share(sheet: Sheet, code: Codebook, of: Raceway | Run, number: Value) -> tuple[Value, bool]:
    """The share that may be filled: that of a nipple, else by the number of conductors and cables."""
    if of.length_ft is None:
        sheet.caution("caution_no_length")
    else:
        length = sheet.line("length_in", read(of, "length_ft") * IN_PER_FT)
        short = length <= code["nipple_length"]
        if short.holds:
            sheet.find("nipple", "a nipple", [short], cites=[code.cite("nipple_length")])
            return sheet.line("limit_pct", code["nipple_fill"]), True
    return sheet.line("limit_pct", code.row("raceway_fill", conductors=number)["fill_pct"]), False


def sized(filling: Fill, given_size: str | None) -> str:
    """Print the smallest trade size and, where the job states one, check that; gives the size that is used."""
    s = filling.s
    smallest = next((size for size in filling.sizes() if filling.holds(size)), None)
    if given_size is not None:
        filling.room(given_size)  # refused here where the table has no such size
    elif smallest is None:
        raise Refused(f"No trade size of {filling.kind} in the table holds this: take more than one raceway.",
                      filling.code.cite("raceway_inside"))  # fmt: skip
    used = str(given_size)
    if smallest is None:
        s.find("smallest_trade_size", f"none: {filling.kind} ends at {filling.sizes()[-1]}")
    else:
        below = filling.sizes()[: filling.sizes().index(smallest)][-1:]
        compared = [filling.room(smallest) >= filling.need, *(filling.room(size) < filling.need for size in below)]
        found = s.find("smallest_trade_size", smallest, compared, cites=[filling.code.cite("raceway_fill")])
        used = given_size or found
    s.find("trade_size", used)
    s.line("fill_pct", filling.fill / filling.inside(used))
    remedy = f"trade size {smallest}" if smallest else "more than one raceway"
    s.check(
        "raceway_large_enough",
        filling.room(used) >= filling.need,
        remedy=remedy,
        cites=[filling.code.cite("raceway_fill")],
    )
    return used


def more_that_fit(filling: Fill, size: str) -> None:
    """How many more of each kind the trade size would take, with nothing else added."""
    s = filling.s
    if filling.like is not None:
        most = _most(filling, size)
        s.line("more_that_fit", excess(most, filling.number), item=filling.like.label)
        return
    share = filling.share
    if not filling.nipple and filling.number.number < COUNTS["three"].number:
        number = s.line("conductors_with_one_more", filling.number + COUNTS["one"])
        share = s.line("share_with_more_pct", filling.code.row("raceway_fill", conductors=number)["fill_pct"])
    room = s.line("room_in2", excess(as_printed(filling.inside(size) * share), filling.fill))
    for kind, area in filling.areas.items():
        s.line("more_that_fit", whole(room / area, "down"), item=kind.label)


def _most(filling: Fill, size: str) -> Value:
    """The most of one kind: three or more at their share, else two at theirs, else one."""
    if filling.nipple:
        return filling.s.line("most_conductors", filling.room(size))
    many = filling.room(size) if filling.number.number >= COUNTS["three"].number else _fit(filling, size, "three")
    enough = many >= COUNTS["three"]
    fewer = COUNTS["two"]
    if not enough.holds:
        two, one = _fit(filling, size, "two"), _fit(filling, size, "one")
        fewer = when(two >= COUNTS["two"], COUNTS["two"], smaller(one, COUNTS["one"]))
    return filling.s.line("most_conductors", when(enough, many, fewer))


def _fit(filling: Fill, size: str, number: str) -> Value:
    """How many fit at the share that is set for this number of them."""
    row = filling.code.row("raceway_fill", conductors=COUNTS[number])
    share = filling.s.line("share_pct", row["fill_pct"], item=number)
    allowed = filling.s.line("share_in2", as_printed(filling.inside(size) * share), item=number)
    return filling.s.line("fits", filling.count_in(allowed), item=number)


def jam(filling: Fill, size: str) -> None:
    """Whether three conductors of one size can jam side by side while they are pulled."""
    s, code = filling.s, filling.code
    largest = next(iter(filling.held))
    count = sum(int(value.number) for value in filling.held[largest])
    if largest.form not in ("insulated", "compact") or count != COUNTS["three"].number:
        return
    row = code.row(f"{largest.form}_conductor", insulation=largest.insulation, size=largest.size)
    across = s.line("diameter_in", row["diameter_in"], item=largest.label)
    inside = s.line("inside_in", code.row("raceway_inside", kind=filling.kind, trade_size=size)["inside_in"])
    ratio = s.line("jam_ratio", inside / across)
    low, high = code["jam_least"], code["jam_most"]
    compared = [ratio >= low, ratio <= high]
    jams = all(pair.holds for pair in compared)
    shown = compared if jams else [ratio < low if not compared[0].holds else ratio > high]
    s.find("jamming", "can jam" if jams else "not likely", shown, cites=[code.cite("jam_least")])
    if jams:
        s.caution("caution_jam")
