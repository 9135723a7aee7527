"""The volume that a box needs, in plain arithmetic, and random boxes to try it on.

Written from the rules of article 314 as the reference folder restates them; it imports nothing of the program.
Everything is counted in sixteenths of a cubic inch, so that no rounding can hide a difference.
"""

from __future__ import annotations

import random
from typing import Any

SIXTEENTHS = {"18": 24, "16": 28, "14": 32, "12": 36, "10": 40, "8": 48, "6": 80}
# circuit conductors and ground of each cable used here, as made
CABLES = {
    "14/2": (("14", 2), "14"), "14/3": (("14", 3), "14"), "12/2": (("12", 2), "12"), "12/3": (("12", 3), "12"),
    "10/2": (("10", 2), "10"), "10/3": (("10", 3), "10"), "8/3": (("8", 3), "10"), "6/3": (("6", 3), "10"),
}  # fmt: skip
TABLE_IN3 = {
    "4 x 1-1/4 octagon": 12.5, "4 x 1-1/2 octagon": 15.5, "4 x 2-1/8 octagon": 21.5, "4 x 1-1/4 square": 18.0,
    "4 x 1-1/2 square": 21.0, "4 x 2-1/8 square": 30.3, "4-11/16 x 1-1/4 square": 25.5,
    "4-11/16 x 1-1/2 square": 29.5, "4-11/16 x 2-1/8 square": 42.0,
}  # fmt: skip


def random_box(rng: random.Random, name: str) -> dict[str, Any]:
    """The data of one [[boxes]] entry."""
    box: dict[str, Any] = {"name": name, "cables": []}
    for _ in range(rng.randint(1, 4)):
        box["cables"].append(f"{rng.randint(1, 3)} x {rng.choice(list(CABLES))} with ground")
    if rng.random() < 0.3:
        box["through"] = [f"{rng.randint(1, 4)} x {rng.choice(['14', '12', '10'])} THHN"]
    if rng.random() < 0.3:
        box["looped"] = [f"{rng.randint(1, 3)} x {rng.choice(['14', '12'])} THHN"]
    box["internal_clamps"] = rng.choice(["clamps", "moulded"]) if rng.random() < 0.4 else "none"
    if rng.random() < 0.3:
        box["fittings"] = rng.choice([["stud"], ["hickey"], ["stud", "hickey"], ["stud", "stud"]])
    if rng.random() < 0.6:
        sizes = [rng.choice(["14", "12", "10", "6"]) for _ in range(rng.randint(1, 3))]
        box["devices"] = [
            {"kind": "receptacle", "wire": size, "gangs": rng.choice([1, 1, 1, 2]), "count": rng.choice([1, 1, 2])}
            for size in sizes
        ]
    if rng.random() < 0.3:
        box["fixture_wires"] = [
            f"{rng.randint(1, 6)} x {rng.choice(['18', '16', '14'])} + {rng.choice(['18', '14'])} ground"
        ]
        box["canopy"] = rng.random() < 0.5
    if rng.random() < 0.2:
        box["isolated_grounds"] = [rng.choice(["14", "12"])]
    if rng.random() < 0.2:
        box["terminal_blocks"] = [rng.choice(["12", "10"])]
    if rng.random() < 0.2:
        box["pigtails"] = rng.randint(1, 5)
    if rng.random() < 0.5:
        box["box"] = rng.choice(list(TABLE_IN3))
    else:
        box["marked_in3"] = rng.choice([14.0, 18.0, 20.3, 22.5, 34.0, 44.0])
    if rng.random() < 0.3:
        box["ring_in3"] = rng.choice([3.0, 3.3, 3.5])
    return box


def _terms(text: str) -> tuple[int, str, str]:
    """'3 x 14/2 with ground' -> (3, '14/2', 'with ground')."""
    count, _, rest = text.partition(" x ")
    what, _, tail = rest.partition(" ")
    return int(count), what, tail


def required_sixteenths(box: dict[str, Any], edition: str) -> int:
    """What the box needs, in sixteenths of a cubic inch."""
    need = 0
    grounds: list[int] = []
    present: list[int] = []
    for text in box["cables"]:
        count, cable, _ = _terms(text)
        (size, each), ground = CABLES[cable]
        need += count * each * SIXTEENTHS[size]
        grounds += [SIXTEENTHS[ground]] * count
        present += [SIXTEENTHS[size], SIXTEENTHS[ground]]
    for field, times in (("through", 1), ("looped", 2)):
        for text in box.get(field, []):
            count, size, _ = _terms(text)
            need += times * count * SIXTEENTHS[size]
            present.append(SIXTEENTHS[size])
    for text in box.get("fixture_wires", []):
        count, size, tail = _terms(text)
        ground = SIXTEENTHS[tail.split()[1]]
        present += [SIXTEENTHS[size], ground]
        if box["canopy"] and size in ("18", "16"):
            count = max(count - 4, 0)
        need += count * SIXTEENTHS[size]
        if not box["canopy"]:
            grounds.append(ground)
    for device in box.get("devices", []):
        need += device["count"] * device["gangs"] * 2 * SIXTEENTHS[device["wire"]]
        present.append(SIXTEENTHS[device["wire"]])
    for size in box.get("isolated_grounds", []):
        need += SIXTEENTHS[size]
        present.append(SIXTEENTHS[size])
    for size in box.get("terminal_blocks", []):
        present.append(SIXTEENTHS[size])
        if edition >= "2023":
            need += SIXTEENTHS[size]
    quarters = 4 if edition < "2020" else 4 + max(len(grounds) - 4, 0)
    need += quarters * max(grounds) // 4
    once = (box.get("internal_clamps") == "clamps") + len(set(box.get("fittings", [])))
    return need + once * max(present)


def provided_in3(box: dict[str, Any]) -> float:
    """What the box has."""
    return float(TABLE_IN3[box["box"]] if "box" in box else box["marked_in3"]) + float(box.get("ring_in3", 0.0))
