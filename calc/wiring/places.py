"""Where in the house a sheet or a check is about, so that a crew can go room by room."""

from __future__ import annotations

from calc.job import Circuit, Job, Load, Panel

HOUSE = "Whole house"
OUTDOORS = "Outdoors"
MOST_NAMED = 3


Places = tuple[str, ...]


def places(job: Job) -> dict[str, Places]:
    """The rooms, or what stands for them, of everything that has a name; a room's own name comes before any other."""
    found: dict[str, Places] = {}

    def add(name: str, *where: str) -> None:
        found.setdefault(name, where)

    for name in (*(r.name for r in job.rooms), *(s.name for s in job.stairs), *(b.name for b in job.buildings)):
        add(name, name)
    add(OUTDOORS, OUTDOORS)
    for panel in job.panels:
        add(panel.name, _of_panel(panel))
    for box in job.boxes:
        add(box.name, box.room or HOUSE)
    for load in job.loads:
        add(load.name, _of_load(load))
    for circuit in job.circuits:
        add(circuit.name, *_of_circuit(job, circuit))
    for run in job.runs:
        room = next((room.name for room in job.rooms if room.use == run.location), "")
        add(run.name, *((room,) if room else found.get(run.feeds or "", (HOUSE,))))
    return found


def names_of(subject: str) -> tuple[str, ...]:
    """The entries of the job that a sheet may be about, by its subject: 'B2, side 1' is box B2's."""
    return (subject, subject.rpartition(", side ")[0], *subject.split(" and "))


def place_of(places: dict[str, Places], item: str, subject: str) -> Places:
    """The place of a check: of the item that it is about, else of its sheet's subject."""
    names = (item, item.partition(",")[0], *names_of(subject))
    return next((places[name] for name in names if name in places), (HOUSE,))


def one_place(where: Places) -> str:
    """The one place that it is, or the whole house."""
    return where[0] if len(where) == 1 else HOUSE


def in_words(where: Places) -> str:
    """'Bedroom', 'Bedroom, Hall and Closet', 'Bedroom, Hall and 3 more rooms'."""
    if len(where) > MOST_NAMED:
        more = len(where) - MOST_NAMED + 1
        return f"{', '.join(where[: MOST_NAMED - 1])} and {more} more rooms"
    return " and ".join(part for part in (", ".join(where[:-1]), where[-1]) if part)


def _of_panel(panel: Panel) -> str:
    said = panel.building or panel.room
    return said or (
        OUTDOORS if panel.location == "outdoors" else (panel.location or HOUSE).replace("-", " ").capitalize()
    )


def _of_load(load: Load) -> str:
    return load.room or (OUTDOORS if load.outdoors else HOUSE)


def _of_circuit(job: Job, circuit: Circuit) -> Places:
    """The rooms of a circuit, or the room of its load."""
    found = next((_of_load(load) for load in job.loads_on(circuit.name) if _of_load(load) != HOUSE), HOUSE)
    return circuit.rooms or (found,)
