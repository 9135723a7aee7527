"""The permit packet, made without a person: run notebooks, collect what they displayed, typeset it."""

from calc.packet.collect import Collected, CollectError, Display, collect
from calc.packet.restore import RestoreError, restore_job
from calc.packet.run import PacketError, PacketResult, make_packet, packet_notebooks
from calc.packet.typeset import TypesetError, typeset

__all__ = [
    "CollectError", "Collected", "Display", "PacketError", "PacketResult", "RestoreError", "TypesetError",
    "collect", "make_packet", "packet_notebooks", "restore_job", "typeset",
]  # fmt: skip
