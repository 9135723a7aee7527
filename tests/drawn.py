"""How many random cases a loop draws: all of them by `make fuzz`, some in the ordinary run, the same each time."""

from hypothesis import settings

PART = 4


def drawn(whole: int) -> int:
    """Of so many random cases, how many this run draws."""
    return whole // PART if settings.default.derandomize else whole
