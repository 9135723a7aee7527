"""A motor beside other loads on a circuit: a quarter of the largest is added to what the circuit is sized for."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.wiring.circuits import Branch
from calc.wiring.house import House
from calc.wiring.reading import Counted, read
from calc.work import Sheet, Value, constant

VA_PER_HP = constant("VA per hp", 746, "VA/hp")


def motor_quarter(
    sheet: Sheet, house: House, branch: Branch, volts: Value, lasting: Sequence[Counted], outlets: bool
) -> Value | None:
    """A line with a quarter of the largest fastened motor that shares the circuit; None where none does.

    ``lasting`` are the loads that have their quarter already; ``outlets`` says that lights or receptacles are on it too.
    """
    code = house.code
    motors = [c for c in branch.loads if c not in lasting and _counts(code, c)]
    if not motors or not (outlets or branch.shared):
        return None
    largest = max(motors, key=lambda c: c.each.number)
    if house.job.code.readings.circuit_motor == "nameplate":
        sheet.remark("note_circuit_motor", load=largest.load.name)
        return None
    return sheet.line("motor_quarter_a", largest.each / volts * code["circuit_motor"], item=largest.load.name)


def _counts(code: Codebook, counted: Counted) -> bool:
    """Whether it is a fastened motor over the least size; by its nameplate where its horsepower isn't stated."""
    load = counted.load
    driven = load.motor_hp is not None or load.kind in code.members("motor_kinds") | code.members("motor_appliances")
    if not driven or not load.is_fastened:
        return False
    least = code["circuit_motor_least"]
    size = read(load, "motor_hp") > least if load.motor_hp is not None else counted.each > least * VA_PER_HP
    return size.holds
