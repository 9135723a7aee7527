"""The disconnect at the outside of a dwelling, and the sleeve of its electrode conductor."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import among, yes
from calc.job import Job, Service
from calc.work import Sheet

FAMILIES = ("one-family", "two-family")


def dwelling_service(s: Sheet, job: Job, code: Codebook) -> None:
    """Whether people outside can switch the dwelling off, as far as this edition and this work ask for it."""
    assert job.service is not None
    _sleeve(s, job, code)
    why = _let_off(job, job.service, code)
    if why:
        s.find("disconnect_asked", why)
    else:
        s.find("disconnect_asked", f"yes: {job.service.work} service of a dwelling", by=[code.cite("emergency_work")])
        _outdoors(s, job.service, code)


def _let_off(job: Job, service: Service, code: Codebook) -> str:
    """Why nothing is asked; '' where it is."""
    if not code.has("emergency_disconnect"):
        return f"no. {code.why_absent('emergency_disconnect')}"
    if job.dwelling is not None and job.dwelling.kind not in FAMILIES:
        return f"no: a {job.dwelling.kind} building"
    if service.work not in code.members("emergency_work"):
        return f"no: the service is {service.work.replace('-', ' ')}"
    return ""


def _outdoors(s: Sheet, service: Service, code: Codebook) -> None:
    if service.work == "replaced" and code.cite("emergency_work").mark == "unconfirmed":
        s.caution("caution_replaced")
    if service.emergency_disconnect is None:
        s.caution("caution_disconnect_unknown")
        return
    rule = code["emergency_disconnect"]
    there = among(
        service, "emergency_disconnect", code.members("emergency_disconnect"), "outdoor disconnects", "disconnect"
    )
    if not s.check("disconnect_outdoors", there >= rule, mend=s.words.text("disconnect_outdoors", "mend")):
        return
    if service.disconnect_outdoors is not None:
        out = yes(service, "disconnect_outdoors", "service disconnects outdoors", "disconnect")
        if service.emergency_disconnect == "service-disconnect":
            s.check("service_disconnect_outdoors", out >= rule, mend=s.words.text("disconnect_outdoors", "mend"))
    if code.has("emergency_at_house") and service.disconnect_in_sight is not None:
        near = yes(service, "disconnect_in_sight", "outdoor disconnects at the house", "disconnect")
        s.check(
            "disconnect_at_house", near >= code["emergency_at_house"], mend=s.words.text("disconnect_at_house", "mend")
        )
    if service.emergency_disconnect_marked is not None:
        marked = yes(service, "emergency_disconnect_marked", "marked disconnects", "disconnect")
        s.check("disconnect_marked", marked >= code["emergency_marked"], mend=s.words.text("disconnect_marked", "mend"))


def _sleeve(s: Sheet, job: Job, code: Codebook) -> None:
    if job.grounding is not None and job.grounding.sleeve_bonded is not None:
        bonded = yes(job.grounding, "sleeve_bonded", "sleeves bonded at both ends", "sleeve")
        s.check("sleeve", bonded >= code["sleeve_bonded"], mend=s.words.text("sleeve", "mend"))
