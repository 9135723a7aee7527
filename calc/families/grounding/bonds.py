"""The bonds at the service, four different things: main, supply side, water piping, gas piping; and the termination
for other systems."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.grounding.source import Source, at_least
from calc.job import SIZES, Grounding, place
from calc.wiring.reading import read
from calc.wiring.wires import called
from calc.work import Refused, Sheet, given


def bonds(sheet: Sheet, code: Codebook, source: Source, grounding: Grounding) -> None:
    """Print each bond with what it goes by, and check those that are given. All are taken as copper."""
    for kind, have in (
        ("main_bonding_jumper", grounding.main_bonding_jumper),
        ("supply_side_bonding_jumper", grounding.supply_side_bonding_jumper),
    ):
        least = _by_area(sheet, code, source, kind)
        _result(sheet, code, kind, have, least)
    _water(sheet, code, source, grounding)
    _gas(sheet, code, grounding)
    _intersystem(sheet, code, grounding)


def _by_area(sheet: Sheet, code: Codebook, source: Source, rule: str) -> str:
    """The size by the bonding table; beyond its last row, a share of the area."""
    cell = code.row(rule, **source.cites).text("copper")
    if cell.text:
        return sheet.pick(f"{rule}_table", cell)
    assert source.whole_cmil is not None
    if source.metal != "copper":
        raise Refused(
            "Beyond the bonding table a copper jumper for aluminum conductors goes by copper of the same ampacity, which "
            "is not worked here.",
            code.cite(rule),
        )
    needed = sheet.line(f"{rule}_cmil", source.whole_cmil * code["bonding_share"], cites=[code.cite(rule)])
    listed = {row["size"]: float(row["cmil"]) for row in code.rows("conductor_properties")}
    size = next((size for size, cmil in listed.items() if cmil >= needed.number), None)
    if size is None:
        raise Refused(
            "The jumper would be larger than the conductor table.", code.cite(rule), code.cite("conductor_properties")
        )
    return size


def _result(sheet: Sheet, code: Codebook, kind: str, have: str | None, least: str) -> None:
    sheet.find(kind, called(have or least))
    if have is not None:
        at_least(sheet, code, kind, have, least)


def _water(sheet: Sheet, code: Codebook, source: Source, grounding: Grounding) -> None:
    if grounding.water_piping is None:
        sheet.unknown("water_bond_serves", "what the water piping is (water_piping)", place(grounding, "water_piping"),
                      cites=[code.cite("water_bond")])  # fmt: skip
        return
    if grounding.water_piping == "plastic":
        sheet.find("water_bond", "none: plastic piping", cites=[code.cite("water_bond")])
        return
    least = _by_area(sheet, code, source, "water_bond")
    if code.has("water_bond_most"):
        (most,) = code.members("water_bond_most")
        if SIZES.index(least) > SIZES.index(most):
            sheet.find("water_bond_cap", called(most), cites=[code.cite("water_bond_most")])
            least = most
    _result(sheet, code, "water_bond", grounding.water_bond, least)


def _gas(sheet: Sheet, code: Codebook, grounding: Grounding) -> None:
    if grounding.gas_piping == "none":
        return
    if grounding.gas_piping is None:
        sheet.unknown("gas_bond_serves", "what gas piping there is, or none (gas_piping)", place(grounding, "gas_piping"),
                      cites=[code.cite("gas_bond")])  # fmt: skip
        return
    if grounding.gas_piping == "csst":
        (least,) = code.members("csst_bond")
        sheet.find("gas_bond_csst", called(least), cites=[code.cite("csst_bond")])
        sheet.caution("caution_csst")
    elif grounding.gas_circuit_a is None:
        sheet.unknown("gas_bond_serves", "the largest circuit that could make it live (gas_circuit_a)",
                      place(grounding, "gas_circuit_a"), cites=[code.cite("gas_bond")])  # fmt: skip
        return
    else:
        circuit = read(grounding, "gas_circuit_a", "circuit at the gas piping")
        rating = sheet.line("gas_bond_row_a", code.at_least("gas_bond", circuit))
        least = sheet.pick("gas_bond_table", code.row("gas_bond", rating_a=rating).text("copper"))
    _result(sheet, code, "gas_bond", grounding.gas_bond, least)


def _intersystem(sheet: Sheet, code: Codebook, grounding: Grounding) -> None:
    if grounding.intersystem_bonding is None:
        sheet.unknown("intersystem_there", "whether it is there (intersystem_bonding)",
                      place(grounding, "intersystem_bonding"), cites=[code.cite("intersystem_bonding")])  # fmt: skip
        return
    there = given("intersystem bonding terminations", int(grounding.intersystem_bonding), "termination",
                  read(grounding, "intersystem_bonding").at)  # fmt: skip
    sheet.check("intersystem_there", there >= code["intersystem_bonding"], remedy="an intersystem bonding termination")
