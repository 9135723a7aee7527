"""Names of a supply that stand without being entered: the utility, and the panel of a job that describes no panel."""

from __future__ import annotations

from typing import Any

from calc.job.trade import is_nominal

Table = dict[str, Any]
UTILITY = "utility"
_NAMED_BY = {"runs": ("fed_from",), "circuits": ("panel",), "loads": ("panel",)}


def settled(data: Table) -> Table:
    """The data of a job in which such names say what they mean, with the very tables that have none.

    'Panel' in a job without panels is no more than that the supply isn't described, which is what leaving it out says.
    A circuit with a position depends on its panel: there the name has to be that of one.
    """
    made = dict(data)
    for key in ("panels", *_NAMED_BY):
        if isinstance(entries := data.get(key), list):
            now = [_settled(key, entry, not data.get("panels")) for entry in entries]
            if any(new is not old for new, old in zip(now, entries, strict=True)):
                made[key] = now
    return made


def _settled(key: str, entry: Any, no_panels: bool) -> Any:
    if not isinstance(entry, dict):
        return entry
    source = entry.get("fed_from")
    if isinstance(source, str) and source != UTILITY and source.casefold() == UTILITY:
        return {**entry, "fed_from": UTILITY}
    if not no_panels or "positions" in entry:
        return entry
    gone = [name for name in _NAMED_BY.get(key, ()) if is_nominal(entry.get(name), "panels")]
    return {name: value for name, value in entry.items() if name not in gone} if gone else entry
