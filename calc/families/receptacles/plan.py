"""Plans."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.charting import Chart
from calc.families.receptacles.room import RoomWork


def charts(found: RoomWork, code: Codebook) -> list[Chart]:
    """Later."""
    return []
