"""Runs and trees of house wiring for the solver and for our sheets: single, split and three phase. All invented."""

from __future__ import annotations

from dataclasses import dataclass

from tests.power_flow.network import Network, Wire


@dataclass(frozen=True)
class Case:
    """A network, the pair of conductors that each run's drop is seen between, and what the job says besides."""

    name: str
    network: Network
    seen: dict[str, str]
    multiwire: frozenset[str] = frozenset()


def run(conductors: str, size: str, metal: str, conduit: str, feet: float, amperes: float, power_factor: float,
        sets: int = 1, begins: str = "utility", name: str = "run", between: tuple[str, ...] = ()) -> Wire:  # fmt: skip
    """A run with its load at the far end; ``between`` where the load hangs otherwise than on the whole run."""
    pairs = between or ({"ABC": ("AB", "BC", "CA")}.get(conductors) or (conductors[:2],))
    each = amperes / 3**0.5 if conductors == "ABC" else amperes
    return Wire(
        name, begins, conductors, size, metal, conduit, feet, sets, tuple((p, each, power_factor) for p in pairs)
    )


def one(name: str, system: str, wire: Wire, pair: str, multiwire: bool = False) -> Case:
    """A case of one run."""
    return Case(name, Network(system, [wire]), {wire.name: pair}, frozenset({wire.name} if multiwire else ()))


def singles() -> list[Case]:
    """One run each."""
    return [
        one("120 V, 14 cu, 60 ft, 12 A, 1.0", "split", run("AN", "14", "copper", "pvc", 60, 12, 1.0), "AN"),
        one("120 V, 12 cu, 118 ft, 8 A, 0.95", "split", run("AN", "12", "copper", "pvc", 118, 8, 0.95), "AN"),
        one("120 V, 12 cu, 60 ft, 16 A, 0.6", "split", run("AN", "12", "copper", "pvc", 60, 16, 0.6), "AN"),
        one("120 V, 10 cu in steel, 90 ft, 20 A, 0.85", "split", run("AN", "10", "copper", "steel", 90, 20, 0.85), "AN"),
        one("120 V, 10 al, 90 ft, 15 A, 0.9", "split", run("AN", "10", "aluminum", "pvc", 90, 15, 0.9), "AN"),
        one("240 V, 10 cu, 80 ft, 24 A, 1.0", "split", run("AB", "10", "copper", "pvc", 80, 24, 1.0), "AB"),
        one("240 V, 8 cu in steel, 150 ft, 35 A, 0.8", "split", run("AB", "8", "copper", "steel", 150, 35, 0.8), "AB"),
        one("240 V, 6 cu, 145 ft, 40 A, 0.9", "split", run("AB", "6", "copper", "pvc", 145, 40, 0.9), "AB"),
        one("240 V, 4 al, 200 ft, 50 A, 0.85", "split", run("AB", "4", "aluminum", "pvc", 200, 50, 0.85), "AB"),
        one("240 V, 2 al, 300 ft, 80 A, 0.9", "split", run("AB", "2", "aluminum", "pvc", 300, 80, 0.9), "AB"),
        one("240 V, 1/0 al, 250 ft, 110 A, 0.95", "split", run("AB", "1/0", "aluminum", "pvc", 250, 110, 0.95), "AB"),
        one("240 V, 4/0 al, 180 ft, 180 A, 0.8", "split", run("AB", "4/0", "aluminum", "pvc", 180, 180, 0.8), "AB"),
        one("240 V, 250 cu in steel, 400 ft, 240 A, 0.8", "split", run("AB", "250", "copper", "steel", 400, 240, 0.8), "AB"),
        one("240 V, 500 cu in steel, 500 ft, 350 A, 0.7", "split", run("AB", "500", "copper", "steel", 500, 350, 0.7), "AB"),
        one("240 V, 2 sets 250 al, 300 ft, 380 A, 0.85", "split", run("AB", "250", "aluminum", "pvc", 300, 380, 0.85, 2), "AB"),
        one("240 V, 12 cu, 900 ft, 10 A, 0.5", "split", run("AB", "12", "copper", "pvc", 900, 10, 0.5), "AB"),
        one("208 V two legs, 6 cu, 120 ft, 45 A, 0.9", "wye", run("AB", "6", "copper", "steel", 120, 45, 0.9), "AB"),
        one("208 V two legs, 2 cu, 220 ft, 90 A, 0.8", "wye", run("AB", "2", "copper", "pvc", 220, 90, 0.8), "AB"),
        one("208 V three phases, 1/0 cu, 180 ft, 130 A, 0.85", "wye", run("ABC", "1/0", "copper", "steel", 180, 130, 0.85), "AB"),
        one("208 V three phases, 4/0 al, 260 ft, 160 A, 0.9", "wye", run("ABC", "4/0", "aluminum", "pvc", 260, 160, 0.9), "AB"),
        one("208 V three phases, 500 cu in steel, 350 ft, 370 A, 0.75", "wye",
            run("ABC", "500", "copper", "steel", 350, 370, 0.75), "AB"),
        one("multiwire 12 cu, one leg alone", "split", run("ABN", "12", "copper", "pvc", 100, 14, 0.95, between=("AN",)), "AN", True),
        one("multiwire 12 cu, both legs alike", "split",
            run("ABN", "12", "copper", "pvc", 100, 14, 0.95, between=("AN", "BN")), "AN", True),
        Case("multiwire 10 cu, 18 A and 7 A", Network("split", [
            Wire("run", "utility", "ABN", "10", "copper", "pvc", 130, loads=(("AN", 18, 0.9), ("BN", 7, 0.9)))]),
            {"run": "AN"}, frozenset({"run"})),
        one("two legs and neutral of a wye, 2 al, 150 ft, 70 A, 1.0", "wye",
            run("ABN", "2", "aluminum", "pvc", 150, 70, 1.0, between=("AN", "BN")), "AN"),
        one("two legs and neutral of a wye, 3/0 cu, 240 ft, 150 A, 0.8", "wye",
            run("ABN", "3/0", "copper", "steel", 240, 150, 0.8, between=("AN", "BN")), "BN"),
        one("two legs and neutral of a wye, 8 cu, 400 ft, 40 A, 0.5", "wye",
            run("ABN", "8", "copper", "pvc", 400, 40, 0.5, between=("AN", "BN")), "BN"),
    ]  # fmt: skip


def trees() -> list[Case]:
    """Two to four runs one after the other, with other loads on the way."""
    service = run("ABN", "4/0", "aluminum", "pvc", 35, 60, 0.95, name="service", between=("AB",))
    shop = run("ABN", "6", "copper", "pvc", 145, 28, 0.9, begins="service", name="shop", between=("AB",))
    bench = run("AN", "12", "copper", "pvc", 60, 12, 0.85, begins="shop", name="bench")
    bench_b = run("BN", "12", "copper", "pvc", 60, 12, 0.85, begins="shop", name="other_leg")
    heater = run("AB", "10", "copper", "pvc", 90, 20, 1.0, begins="shop", name="heater")
    barn = run("ABN", "2", "aluminum", "pvc", 400, 30, 0.8, begins="shop", name="barn", between=("AB",))
    far = run("AB", "8", "copper", "steel", 120, 25, 0.7, begins="barn", name="far")
    group = run("ABC", "250", "copper", "steel", 150, 120, 0.9, name="group")
    flat = run("AB", "4", "copper", "steel", 80, 45, 0.9, begins="group", name="flat")
    motor = run("ABC", "8", "copper", "steel", 200, 30, 0.75, begins="group", name="motor")
    group_of_four_wires = Wire("group", "utility", "ABCN", "4/0", "copper", "steel", 120)
    flats = [
        run(
            f"{legs}N",
            "2",
            "copper",
            "steel",
            90,
            60,
            0.95,
            begins="group",
            name=name,
            between=(f"{legs[0]}N", f"{legs[1]}N"),
        )
        for name, legs in (("flat", "AB"), ("flat_2", "BC"), ("flat_3", "CA"))
    ]
    alike = {"service": "AB", "shop": "AB"}
    return [
        Case("service, feeder", Network("split", [service, shop]), alike),
        Case("service, feeder, 240 V circuit", Network("split", [service, shop, heater]), {**alike, "heater": "AB"}),
        Case("service, feeder, 120 V circuits on both legs", Network("split", [service, shop, bench, bench_b]),
             {**alike, "bench": "AN", "other_leg": "BN"}),
        Case("service, two feeders in a row", Network("split", [service, shop, barn]), {**alike, "barn": "AB"}),
        Case("service, two feeders in a row, circuit", Network("split", [service, shop, barn, far]),
             {**alike, "barn": "AB", "far": "AB"}),
        Case("feeder with two circuits", Network("split", [service, shop, heater, bench, bench_b]),
             {**alike, "heater": "AB", "bench": "AN", "other_leg": "BN"}),
        Case("three phases, then a three-phase circuit", Network("wye", [group, motor]), {"group": "AB", "motor": "AB"}),
        Case("three phases, then three flats of two legs", Network("wye", [
            group, flat, run("BC", "4", "copper", "steel", 80, 45, 0.9, begins="group", name="flat_2"),
            run("AC", "4", "copper", "steel", 80, 45, 0.9, begins="group", name="flat_3")]),
            {"group": "AB", "flat": "AB", "flat_2": "BC", "flat_3": "AC"}),
        Case("three phases, then three flats of two legs and neutral", Network("wye", [group_of_four_wires, *flats]),
             {"group": "AN", "flat": "BN", "flat_2": "CN", "flat_3": "AN"}),
    ]  # fmt: skip
