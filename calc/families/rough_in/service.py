"""The disconnect at the outside of a dwelling, and the sleeve of its electrode conductor."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import among, yes
from calc.job import Service, field_info, place
from calc.wiring.house import House
from calc.work import Sheet

FAMILIES = ("one-family", "two-family")


def dwelling_service(sheet: Sheet, house: House) -> None:
    """Whether people outside can switch the dwelling off, as far as this edition and this work ask for it."""
    assert house.job.service is not None
    _sleeve(sheet, house)
    why = _let_off(house, house.job.service)
    if why:
        sheet.find("disconnect_asked", why)
    else:
        sheet.find(
            "disconnect_asked",
            f"yes: {house.job.service.work} service of a dwelling",
            cites=[house.code.cite("emergency_work")],
        )
        _outdoors(sheet, house.job.service, house.code)


def _let_off(house: House, service: Service) -> str:
    """Why nothing is asked; '' where it is."""
    if not house.code.has("emergency_disconnect"):
        return f"no. {house.code.why_absent('emergency_disconnect')}"
    if house.job.dwelling is not None and house.job.dwelling.kind not in FAMILIES:
        return f"no: a {house.job.dwelling.kind} building"
    if service.work not in house.code.members("emergency_work"):
        return f"no: the service is {service.work.replace('-', ' ')}"
    return ""


def _outdoors(sheet: Sheet, service: Service, code: Codebook) -> None:
    if service.work == "replaced" and code.cite("emergency_work").mark == "unconfirmed":
        sheet.caution("caution_replaced")
    if service.emergency_disconnect is None:
        sheet.unknown("disconnect_outdoors", "which switch outside turns the dwelling off",
                  place(service, "emergency_disconnect"), cites=[code.cite("emergency_disconnect")])  # fmt: skip
        return
    rule = code["emergency_disconnect"]
    there = among(
        service, "emergency_disconnect", code.members("emergency_disconnect"), "emergency disconnects", "disconnect"
    )
    if not sheet.check("disconnect_outdoors", there >= rule, remedy=sheet.words.text("disconnect_outdoors", "remedy")):
        return
    if service.emergency_disconnect == "service-disconnect":
        _stated(sheet, code, service, "disconnect_outdoors", "service_disconnect_outdoors", "emergency_disconnect",
                "service disconnects outdoors", sheet.words.text("disconnect_outdoors", "remedy"))  # fmt: skip
    if code.has("emergency_at_house"):
        _stated(sheet, code, service, "disconnect_in_sight", "disconnect_at_house", "emergency_at_house",
                "emergency disconnects at the house", sheet.words.text("disconnect_at_house", "remedy"))  # fmt: skip
    _stated(sheet, code, service, "emergency_disconnect_marked", "disconnect_marked", "emergency_marked",
            "marked disconnects", sheet.words.text("disconnect_marked", "remedy"))  # fmt: skip


def _stated(
    sheet: Sheet, code: Codebook, service: Service, field: str, key: str, rule: str, name: str, remedy: str
) -> None:  # fmt: skip
    """A check of one answer of yes or no; not shown where nobody has answered."""
    if getattr(service, field) is None:
        info = field_info(service, field)
        sheet.unknown(key, info.help, place(service, field), cites=[code.cite(rule)])
        return
    sheet.check(key, yes(service, field, name, "disconnect") >= code[rule], remedy=remedy)


def _sleeve(sheet: Sheet, house: House) -> None:
    if house.job.grounding is not None and house.job.grounding.sleeve_bonded is not None:
        bonded = yes(house.job.grounding, "sleeve_bonded", "sleeves bonded at both ends", "sleeve")
        sheet.check("sleeve", bonded >= house.code["sleeve_bonded"], remedy=sheet.words.text("sleeve", "remedy"))
