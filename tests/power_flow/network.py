"""A house's conductors as a network, solved by OpenDSS. Nothing of ours is imported: impedances come from the table file.

Each conductor, the neutral too, is a branch of its own with its resistance and reactance, so no formula for 'out and
back', for a wye or for a shared neutral is put in: the solver finds what flows where. Loads draw a constant current
at their power factor, as the sheets take it.
"""

from __future__ import annotations

import csv
from cmath import phase
from dataclasses import dataclass, field
from math import cos, sqrt
from pathlib import Path

import opendssdirect as dss

TABLE = Path(__file__).parents[2] / "calc" / "codebook" / "tables" / "conduit_impedance.csv"
NODES = {"A": 1, "B": 2, "C": 3, "N": 4}
ANGLES = {"split": {"A": 0, "B": 180}, "wye": {"A": 0, "B": -120, "C": 120}}


@dataclass(frozen=True)
class Wire:
    """One run: conductors from a bus to the next, and the load at its far end between two of them."""

    name: str
    begins: str
    conductors: str  # 'AB', 'AN', 'ABN', 'ABC', 'ABCN'
    size: str
    metal: str
    conduit: str
    length_ft: float
    sets: int = 1
    loads: tuple[tuple[str, float, float], ...] = ()  # (between, amperes, power factor)


@dataclass(frozen=True)
class Found:
    """What the solver finds at the far end of a run, and what flows in it."""

    volts: dict[str, float]  # between 'AB', 'AN' ...
    amperes: dict[str, float]  # by conductor
    power_factor: dict[str, float]  # of a conductor's current against the voltage between two: 'A:AN', 'A:star'


@dataclass
class Network:
    """A system ('split' 120/240 V or 'wye' 208Y/120 V) and its runs."""

    system: str
    wires: list[Wire]
    found: dict[str, Found] = field(default_factory=dict)

    def solve(self) -> dict[str, Found]:
        """Solve once; each run's far end by name."""
        to_neutral_v = 120.0 if self.system == "split" else 208 / sqrt(3)
        _say("clear", "set DefaultBaseFrequency=60")
        for at, (node, angle) in enumerate(ANGLES[self.system].items()):
            what = "new circuit.house" if at == 0 else f"new vsource.{node}"
            bus = f"bus1=utility.{NODES[node]}.0"
            _say(f"{what} {bus} phases=1 basekv={to_neutral_v / 1000} angle={angle} pu=1.0 frequency=60 "
                 "r1=1e-7 x1=1e-7 r0=1e-7 x0=1e-7")  # fmt: skip
        _say("new reactor.bond bus1=utility.4 bus2=utility.0 phases=1 r=1e-7 x=1e-7")
        for wire in self.wires:
            r, x = _ohm(wire)
            for conductor in wire.conductors:
                node = NODES[conductor]
                _say(f"new reactor.{wire.name}_{conductor} bus1={wire.begins}.{node} bus2={wire.name}.{node} "
                     f"phases=1 r={r} x={x}")  # fmt: skip
            for at, (between, amperes, power_factor) in enumerate(wire.loads):
                a, b = (NODES[node] for node in between)
                kv = (
                    to_neutral_v if "N" in between else to_neutral_v * (2 if self.system == "split" else sqrt(3))
                ) / 1000
                _say(f"new load.{wire.name}_{at} bus1={wire.name}.{a}.{b} phases=1 conn=wye model=5 kv={kv} "
                     f"kva={kv * amperes} pf={power_factor} vminpu=0.01 vmaxpu=2")  # fmt: skip
        _say("set voltagebases=[0.208 0.24]", "set tolerance=1e-9", "set maxiterations=200", "solve")
        assert dss.Solution.Converged()
        self.found = {wire.name: self._at(wire) for wire in self.wires}
        return self.found

    def _at(self, wire: Wire) -> Found:
        volts = _volts(wire.name)
        pairs = [a + b for at, a in enumerate(wire.conductors) for b in wire.conductors[at + 1 :]]
        between = {pair: volts[pair[0]] - volts[pair[1]] for pair in pairs}
        currents = {conductor: _current(f"{wire.name}_{conductor}") for conductor in wire.conductors}
        star = sum(volts[conductor] for conductor in wire.conductors) / len(wire.conductors)
        seen = {**{(pair[0], pair): v for pair, v in between.items()}, ("A", "star"): volts.get("A", 0) - star}
        factors = {
            f"{conductor}:{pair}": cos(phase(v) - phase(currents[conductor]))
            for (conductor, pair), v in seen.items() if abs(v) > 0 and abs(currents.get(conductor, 0)) > 1e-9
        }  # fmt: skip
        return Found({k: abs(v) for k, v in between.items()}, {k: abs(v) for k, v in currents.items()}, factors)


def _ohm(wire: Wire) -> tuple[float, float]:
    with TABLE.open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        row = next(row for row in rows if (row["size"], row["conduit"]) == (wire.size, wire.conduit))
    kft = wire.length_ft / 1000 / wire.sets
    return float(row[f"{wire.metal}_ohm_per_kft"]) * kft, float(row["reactance_ohm_per_kft"]) * kft


def _volts(bus: str) -> dict[str, complex]:
    dss.Circuit.SetActiveBus(bus)
    flat = dss.Bus.Voltages()
    names = {node: name for name, node in NODES.items()}
    return {names[node]: complex(flat[2 * at], flat[2 * at + 1]) for at, node in enumerate(dss.Bus.Nodes())}


def _current(element: str) -> complex:
    dss.Circuit.SetActiveElement(f"reactor.{element}")
    flat = dss.CktElement.Currents()
    return complex(flat[0], flat[1])


def _say(*commands: str) -> None:
    for command in commands:
        dss.Text.Command(command)
        assert not dss.Error.Description(), (command, dss.Error.Description())
