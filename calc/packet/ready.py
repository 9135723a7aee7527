"""Imported once by the process that workers are forked from: everything a packet needs stands ready."""

from calc.packet import warm
from calc.packet.pool import PRELOADED

warm.warm_up(PRELOADED)
