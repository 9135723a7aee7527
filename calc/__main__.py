"""``python -m calc`` is the command ``studbay``."""

from calc.cli import main

main(prog_name="studbay")
