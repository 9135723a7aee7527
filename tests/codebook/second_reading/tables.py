"""Tables read a second time: what was gathered, laid out as the program's tables are."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import sqrt
from typing import Any

from tests.codebook.second_reading.gathered import Rows, at, keyed

KEYS = {
    "cables": ("cable", "location"),
    "compact_conductors": ("insulation", "size"),
    "conductors": ("size", "stranding"),
    "conduit_impedance": ("size", "conduit"),
    "cord_loads": ("circuit", "receptacle"),
    "insulated_conductors": ("insulation", "size"),
    "made_cables": ("type", "material", "called"),
    "raceways": ("kind", "trade_size"),
    "whips": ("insulation", "size"),
}


def keys(columns: tuple[str, ...], name: str) -> tuple[str, ...]:
    """The columns that tell a row: named ones, the two ends of its bands, or the first."""
    ends = tuple(column for column in columns if column.endswith(("_from", "_to")))
    return KEYS.get(name) or ends or columns[:1]


def second() -> dict[str, Rows]:
    """Every gathered table, by the name and the keys of the program's."""
    found = {}
    for name, read in READ.items():
        rows = read()
        found[name] = keyed(rows, keys(tuple(rows[0]), name))
    return found


def _renamed(path: str, **columns: str) -> list[dict[str, Any]]:
    return [{ours: row[theirs] for ours, theirs in columns.items()} for row in at(path)]


def _ampacity() -> list[dict[str, Any]]:
    columns = {f"{metal}_{c}_a": f"{short}{c}" for metal, short in (("copper", "Cu"), ("aluminum", "Al")) for c in (60, 75, 90)}  # fmt: skip
    return [row for row in _renamed("tables/310.16/rows", size="size", **columns) if row["copper_60_a"]]


def _ambient() -> list[dict[str, Any]]:
    """Bands in F from the printed ones in C; the first begins at -40, where both scales meet."""
    rows, begins = [], -40.0
    for row in at("tables/ambient_correction/rows"):
        ends = row["C_to"] * 9 / 5 + 32
        rows.append({"ambient_f_from": begins, "ambient_f_to": ends} | {f"factor_{c}": row[f"F{c}"] for c in (60, 75, 90)})  # fmt: skip
        begins = ends + 1
    return rows


def _cmil(size: str) -> int:
    areas = {row["size"]: row["cmil"] for row in at("tables/ch9_table8/rows")}
    return int(areas.get(size) or 1000 * int(size))


def _by_area(path: str, columns: Mapping[str, str]) -> Callable[[], list[dict[str, Any]]]:
    def read() -> list[dict[str, Any]]:
        rows, begins = [], {"copper": 0, "aluminum": 0}
        for row in at(path):
            made: dict[str, Any] = {}
            for metal, short in (("copper", "Cu"), ("aluminum", "Al")):
                top = row[f"{short}_up_to"]
                ends = None if top is None or str(top).startswith("over") else _cmil(top)
                made |= {f"{metal}_cmil_from": begins[metal], f"{metal}_cmil_to": ends}
                begins[metal] = (ends or 0) + 1
                size = str(row[columns[metal]])
                made[metal] = "" if "%" in size else size
            rows.append(made)
        return rows

    return read


def _ceilings() -> list[dict[str, Any]]:
    rod, footing = at("tables/250.66/caps/rod_pipe_plate_sole_connection"), at("tables/250.66/caps/concrete_encased_sole")  # fmt: skip
    rows = [{"electrode": kind, "copper": rod["Cu"], "aluminum": rod["Al"]} for kind in ("rod", "pipe", "plate")]
    return [*rows, {"electrode": "footing", "copper": footing["Cu"], "aluminum": None}]


def _boxes() -> list[dict[str, Any]]:
    kinds = {"round/octagonal": "octagon", "square": "square", "device": "device", "masonry box/gang": "masonry"}
    rows = []
    for row in at("tables/314.16(A)/rows"):
        kind = kinds.get(row["kind"]) or row["kind"][:2]
        covers = "single cover" if "single" in row["kind"] else "multiple cover"
        box = f"{row['box']} {kind}" if row["kind"] in kinds else f"{kind} {covers}"
        rows.append({"box": box, "kind": kind, "volume_in3": row["in3"], "confidence": row["conf"]})
    return rows


def _raceways() -> list[dict[str, Any]]:
    """All but trade size 3/8 of FMC and LFMC, which the program does not carry."""
    sure = at("tables/ch9_table4/confidence_by_type")
    rows = []
    for kinds, sizes in at("tables/ch9_table4/rows").items():
        for kind in ("PVC-40", "HDPE") if kinds == "PVC-40/HDPE" else (kinds,):
            rows += [
                {"kind": kind, "trade_size": row["trade"], "inside_in": row["id_in"], "area_in2": row["in2_100"], "confidence": sure[kinds]}
                for row in sizes if not (row["trade"] == "3/8" and kind in ("FMC", "LFMC"))
            ]  # fmt: skip
    return rows


GROUPS = {
    "THHN/THWN/THWN-2": "THHN",
    "XHHW/XHHW-2/XHH": "XHHW",
    "TW/THW/THHW/THW-2": "THW",
    "RHH/RHW/RHW-2 (with outer covering)": "RHH",
    "RHH*/RHW*/RHW-2* (without outer covering)": "RHH without covering",
}


def _insulated() -> list[dict[str, Any]]:
    sure = at("tables/ch9_table5/confidence_by_type")
    return [
        {"insulation": ours, "size": row["size"], "diameter_in": row["diam_in"], "area_in2": row["in2"], "confidence": sure[theirs]}
        for theirs, ours in GROUPS.items()
        for row in at("tables/ch9_table5/rows")[theirs]
    ]  # fmt: skip


def _groups() -> list[dict[str, Any]]:
    """Each type of a printed heading goes with the first: 'RHH*/RHW*' are those without a covering."""
    rows = []
    for heading, group in GROUPS.items():
        for one in heading.split(" (")[0].split("/"):
            rows.append({"insulation": one.replace("*", " without covering"), "group": group})
    return rows


def _compact() -> list[dict[str, Any]]:
    return [
        {"insulation": ours, "size": row["size"], "diameter_in": row[theirs]["d"], "area_in2": row[theirs]["in2"]}
        for theirs, ours in (("THHN", "THHN"), ("XHHW", "XHHW"), ("THW_THHW", "THW"))
        for row in at("tables/ch9_table5A/rows")
        if row[theirs]
    ]


def _conductors() -> list[dict[str, Any]]:
    plain = _renamed("tables/ch9_table8/rows", size="size", strands="strands", cmil="cmil", diameter_in="diam_in", area_in2="area_in2",
                     copper_ohm_per_kft="Cu_uncoated", coated_copper_ohm_per_kft="Cu_coated", aluminum_ohm_per_kft="Al")  # fmt: skip
    return [row | {"stranding": "solid" if row["strands"] == 1 else "stranded"} for row in plain]


def _impedance() -> list[dict[str, Any]]:
    rows = []
    for row in at("tables/ch9_table9/rows"):
        for ours, theirs in (("pvc", "pvc"), ("aluminum", "al"), ("steel", "steel")):
            made = {"size": row["size"], "conduit": ours,
                    "reactance_ohm_per_kft": row["X_steel" if ours == "steel" else "X_pvc_al"]}  # fmt: skip
            for metal, short in (("copper", "cu"), ("aluminum", "al")):
                made[f"{metal}_ohm_per_kft"] = (row[f"R{short}"] or {}).get(theirs)
                made[f"{metal}_effective_ohm_per_kft"] = (row[f"Z{short}"] or {}).get(theirs)
            rows.append(made)
    return rows


def _cooking() -> list[dict[str, Any]]:
    """'15+n' is 15 kW and 1 kW for each, '25+0.75n' 25 kW and 0.75 kW for each."""
    rows = []
    for row in at("load_calculation/220.55_ranges/rows"):
        low, _, high = str(row["n"]).removesuffix("+").partition("-")
        plain, _, each = str(row["C_kW"]).partition("+")
        rows.append({
            "appliances_from": low, "appliances_to": "" if str(row["n"]).endswith("+") else high or low,
            "column_a_pct": row["A_pct"], "column_b_pct": row["B_pct"],
            "column_c_kw": plain, "column_c_each_kw": (each.removesuffix("n") or 1) if each else 0,
        })  # fmt: skip
    return rows


def _dryers(path: str) -> Callable[[], list[dict[str, Any]]]:
    def read() -> list[dict[str, Any]]:
        rows = []
        for low, high, said in at(path):
            if "n" not in said:
                rows.append({"dryers_from": low, "dryers_to": high, "demand_pct": said})
                continue
            first, _, rest = said.partition("-")
            each, _, past = rest.rpartition("(n-") if "*" in rest else ("1*", "", rest.removeprefix("(n-"))
            for n in range(low, high + 1):
                share = float(first) - float(each.removesuffix("*")) * (n - int(past.removesuffix(")")))
                rows.append({"dryers_from": n, "dryers_to": n, "demand_pct": share})
        return rows

    return read


def _ratings(edition: str) -> Callable[[], list[dict[str, Any]]]:
    return lambda: [{"rating_a": rating} for rating in at(f"rules_conductors/240.6(A)/{edition}")]


def _motors() -> list[dict[str, Any]]:
    """115 V stands for nominal 120 V, 230 V for 240 V; the 208 V column is that of 230 V and a tenth more."""
    hp = {"1/6": 0.167, "1/4": 0.25, "1/3": 0.334, "1/2": 0.5, "3/4": 0.75, "1-1/2": 1.5, "7-1/2": 7.5}
    return [
        {
            "hp": hp.get(size) or size,
            "motor_120_a": amperes["115V"],
            "motor_240_a": amperes["230V"],
            "motor_208_a": round(1.1 * amperes["230V"] + 1e-9, 1),
        }
        for size, amperes in at("branch_circuits/motors/FLC_1ph_430.248_A").items()
    ]


def _cover() -> list[dict[str, Any]]:
    names = ("yard", "driveway", "street", "slab", "building")
    return [
        {"under": name} | {f"{kind}_in": row[kind] for kind in ("direct", "rigid", "nonmetallic", "protected")}
        for name, row in zip(names, at("tables/300.5/rows"), strict=True)
    ]


def _terminals() -> list[dict[str, Any]]:
    """Up to 100 A the 60 C ampacity where nothing is marked, above it 75 C."""
    said = at("rules_conductors/110.14(C)/fact")
    assert "circuits <=100 A" in said
    assert "use 60 C ampacity unless" in said
    assert "circuits >100 A or conductors larger than 1 AWG: 75 C" in said
    return [{"rating_a_from": 0, "rating_a_to": 100, "terminals_c": 60}, {"rating_a_from": 101, "rating_a_to": None, "terminals_c": 75}]  # fmt: skip


def _voltages() -> list[dict[str, Any]]:
    """Two halves of a winding, or two legs of a wye: 120 V times root 3 is 208 V."""
    return [{"system": "120/240", "line_to_line_v": 2 * 120, "line_to_neutral_v": 120},
            {"system": "208Y/120", "line_to_line_v": round(120 * sqrt(3)), "line_to_neutral_v": 120}]  # fmt: skip


def _record() -> list[dict[str, Any]]:
    said = at("load_calculation/220.87_existing_measured")
    assert "1-year peak" in said
    assert "30-day continuous recording, 15-min average" in said
    return [{"record": "1-year", "least_day": 365}, {"record": "30-day", "least_day": 30}]


def _small() -> list[dict[str, Any]]:
    said = at("rules_conductors/240.4(D)/2023")
    return [{"size": size, "copper_a": said[f"{size} Cu"], "aluminum_a": said.get(f"{size} Al/CCA")} for size in ("14", "12", "10")]  # fmt: skip


def _heat() -> list[dict[str, Any]]:
    share = {entry["item"]: entry["pct"] for entry in at("load_calculation/220.82_optional_dwelling/heat_AC_C_largest_of")}  # fmt: skip
    few = next(pct for item, pct in share.items() if "< 4 separately" in item)
    many = next(pct for item, pct in share.items() if ">= 4 separately" in item)
    return [{"zones_from": 1, "zones_to": 3, "demand_pct": few}, {"zones_from": 4, "zones_to": None, "demand_pct": many}]  # fmt: skip


def _fastened() -> list[dict[str, Any]]:
    rule = at("load_calculation/220.53")
    least = rule["min_count"]
    return [{"appliances_from": 0, "appliances_to": least - 1, "demand_pct": 100},
            {"appliances_from": least, "appliances_to": None, "demand_pct": 100 * rule["factor"]}]  # fmt: skip


def _buildings() -> list[dict[str, Any]]:
    said = at("services_feeders/225.39_building_feeder_rating")
    names = {"one branch circuit": "one_circuit", "two two-wire circuits": "two_2wire",
             "a one-family dwelling": "one_family", "any other": "others"}  # fmt: skip
    return [{"serves": ours, "least_a": said[theirs]} for ours, theirs in names.items()]


def _receptacles() -> list[dict[str, Any]]:
    """'not over 15' is 15 alone; 'x or y' are the least and the largest."""
    rows = []
    for row in at("branch_circuits/210.21(B)(3)_receptacle_rating"):
        least, _, most = row["receptacle"].removeprefix("not over ").partition(" or ")
        rows.append({"circuit": row["circuit"], "least_a": least, "most_a": most or least})
    return rows


def _fill() -> list[dict[str, Any]]:
    return [
        {"conductors_from": row["conductors"].removesuffix("+"), "fill_pct": row["pct"],
         "conductors_to": None if row["conductors"].endswith("+") else row["conductors"]}
        for row in at("tables/ch9_table1/rows")
    ]  # fmt: skip


def _circuits(first: int) -> Callable[[], list[dict[str, Any]]]:
    return lambda: [{"rating_a": row["A"]} for row in at("branch_circuits/210.24_summary_copper") if row["A"] >= first]


READ: dict[str, Callable[[], list[dict[str, Any]]]] = {
    "burial_cover": _cover,
    "terminals": _terminals,
    "nominal_voltages": _voltages,
    "measured_record": _record,
    "ampacity": _ampacity,
    "ambient_correction": _ambient,
    "count_adjustment": lambda: _renamed("tables/count_adjustment/rows", conductors_from="from", conductors_to="to", share_pct="percent"),
    "dwelling_share": lambda: _renamed("tables/310.12/rows", rating_a="rating_A", copper="Cu", aluminum="Al_CCA"),
    "electrode_conductor": _by_area("tables/250.66/rows", {"copper": "GEC_Cu", "aluminum": "GEC_Al"}),
    "bonding_jumper": _by_area("tables/250.102(C)(1)/rows", {"copper": "size_Cu", "aluminum": "size_Al"}),
    "electrode_ceilings": _ceilings,
    "equipment_ground": lambda: _renamed("tables/250.122/rows", rating_a="ocpd_A", copper="Cu", aluminum="Al_CCA"),
    "metal_boxes": _boxes,
    "box_fill_allowances": lambda: _renamed("tables/314.16(B)(1)/rows", size="AWG", allowance_in3_per_conductor="in3"),
    "raceway_fill": _fill,
    "raceways": _raceways,
    "insulated_conductors": _insulated,
    "insulation_groups": _groups,
    "compact_conductors": _compact,
    "conductors": _conductors,
    "conduit_impedance": _impedance,
    "cooking_demand": _cooking,
    "dryer_demand_2017": _dryers("load_calculation/220.54_dryers/2017_2020_2023/rows"),
    "dryer_demand_2026": _dryers("load_calculation/220.54_dryers/2026/known_rows"),
    "multifamily_demand": lambda: _renamed("load_calculation/220.84_multifamily/rows", units_from="from", units_to="to", demand_pct="pct"),
    "optional_heat": _heat,
    "fastened_demand": _fastened,
    "small_conductors": _small,
    "standard_ratings_2017": _ratings("2017"),
    "standard_ratings_2023": _ratings("2023"),
    "motor_currents": _motors,
    "building_disconnects": _buildings,
    "cord_loads": lambda: _renamed("branch_circuits/210.21(B)(2)_cord_plug_max_A", circuit="circuit", receptacle="receptacle", most_a="max"),
    "receptacle_ratings": _receptacles,
    "circuit_ratings_2017": _circuits(15),
    "circuit_ratings_2023": _circuits(10),
}  # fmt: skip
