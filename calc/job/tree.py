"""How panels and runs hang together: from the utility down, with no loop and one supply each."""

from collections.abc import Iterator

from calc.job.known import Known, Table
from calc.job.places import Loc
from calc.job.problems import Trouble

Node = tuple[str, str]


def check_tree(known: Known) -> list[Trouble]:
    """Loops, panels with two supplies, and panels whose `fed_from` and run disagree."""
    if not known.anew & {"panels", "runs"}:
        return []
    data = known.raw
    above: dict[Node, Node] = {}
    at: dict[Node, Loc] = {}
    panels = [(n, p) for n, p in _entries(data, "panels")]
    names = {p["name"] for _, p in panels}
    for number, panel in panels:
        at["panels", panel["name"]] = ("panels", number, "fed_from")
        if isinstance(panel.get("fed_from"), str):
            above["panels", panel["name"]] = ("panels", panel["fed_from"])
    found: list[Trouble] = []
    fed: dict[str, str] = {}
    for number, run in _entries(data, "runs"):
        node = ("runs", run["name"])
        at[node] = ("runs", number, "fed_from")
        source = run.get("fed_from")
        if isinstance(source, str):
            above[node] = ("panels" if source in names else "runs", source)
        target = run.get("feeds")
        if not isinstance(target, str) or target not in names or run.get("status") == "removed":
            continue
        if target in fed:
            found.append(
                Trouble(
                    ("runs", number, "feeds"),
                    f'is "{target}", which "{fed[target]}" feeds already',
                    "one supply for each panel",
                )
            )
            continue
        fed[target] = run["name"]
        found += _agreement(data, target, number, above)
        above["panels", target] = node
    return [*found, *_loops(above, at)]


def _entries(data: Table, key: str) -> Iterator[tuple[int, Table]]:
    items = data.get(key)
    for number, item in enumerate(items if isinstance(items, list) else []):
        if isinstance(item, dict) and isinstance(item.get("name"), str):
            yield number, item


def _agreement(data: Table, panel: str, run: int, above: dict[Node, Node]) -> Iterator[Trouble]:
    """A panel's own `fed_from` has to name the panel (or utility) where its run begins."""
    said = above.get(("panels", panel))
    begins = data["runs"][run].get("fed_from")
    runs = {r["name"]: r.get("fed_from") for _, r in _entries(data, "runs")}
    seen: set[str] = set()
    panels = {p["name"] for _, p in _entries(data, "panels")}
    while isinstance(begins, str) and begins in runs and begins not in panels and begins not in seen:
        seen.add(begins)
        begins = runs[begins]
    if said and isinstance(begins, str) and said[1] != begins:
        yield Trouble(
            ("runs", run, "fed_from"),
            f'is "{begins}", but {panel} says that it is fed from "{said[1]}"',
            "the same in both",
        )


def _loops(above: dict[Node, Node], at: dict[Node, Loc]) -> Iterator[Trouble]:
    done: set[Node] = set()
    for start in above:
        trail: list[Node] = []
        node = start
        while node in above and node not in done and node not in trail:
            trail.append(node)
            node = above[node]
        if node in trail:
            loop = [name for _, name in trail[trail.index(node) :]]
            yield Trouble(
                at[node], f"makes a loop: {' <- '.join([*loop, node[1]])}", "a tree that begins at the utility"
            )
        done.update(trail)
