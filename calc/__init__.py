"""Studbay: worked calculations for house wiring, with every step shown and cited.

    import calc
    house = calc.open_house("my-house.toml")
    house.sheet("dwelling-load")["service_rating_a"]
    house.with_line("dwelling-load", "standard_a", 190).sheet("dwelling-load")["service_rating_a"]
    calc.make_packet("my-house.toml", "reports")

Names below are brought in when they are asked for, so that importing this costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from calc.codebook import Codebook, CodebookError, editions
    from calc.job import JobError, SaveConflict
    from calc.library import House, calculations, make_packet, open_house
    from calc.packet.run import PacketError
    from calc.work import Sheet

__all__ = [
    "Codebook",
    "CodebookError",
    "House",
    "JobError",
    "PacketError",
    "SaveConflict",
    "Sheet",
    "calculations",
    "editions",
    "make_packet",
    "open_house",
]

_FROM = {
    "Codebook": "codebook", "CodebookError": "codebook", "editions": "codebook",
    "JobError": "job", "SaveConflict": "job",
    "House": "library", "calculations": "library", "make_packet": "library", "open_house": "library",
    "PacketError": "packet.run",
    "Sheet": "work",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _FROM:
        raise AttributeError(f"module 'calc' has no attribute '{name}'")
    return getattr(import_module(f"calc.{_FROM[name]}"), name)


def __dir__() -> list[str]:
    return __all__
