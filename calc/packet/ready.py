"""Imported once by the process that workers are forked from: everything a packet needs stands ready."""

import os

from calc.packet import warm
from calc.packet.pool import PRELOADED

os.environ.setdefault("RAYON_NUM_THREADS", "1")  # the typesetter would take the cores of the other workers
warm.warm_up(PRELOADED)
