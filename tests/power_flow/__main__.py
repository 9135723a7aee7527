"""How far each method of voltage drop stands off a power-flow solution: `python -m tests.power_flow`."""

from __future__ import annotations

from tests.power_flow.cases import singles, trees
from tests.power_flow.compare import METHODS, offsets


def main() -> None:
    """Print a table in percent of nominal voltage, and the largest offset of each method."""
    found = [offset for case in [*singles(), *trees()] for offset in offsets(case)]
    print(f"{'case':62}{'run':11}{'solved':>8}{'dc':>8}{'eff.':>8}{'exact':>9}")
    for offset in found:
        numbers = "".join(
            f"{offset.off_pct[m]:+{9 if m == 'exact' else 8}.{4 if m == 'exact' else 2}f}" for m in METHODS
        )
        print(f"{offset.case:62}{offset.run:11}{offset.solved_pct:8.2f}{numbers}")
    for method in METHODS:
        worst = max(found, key=lambda o: abs(o.off_pct[method]))
        share = worst.off_pct[method] / worst.solved_pct * 100
        print(
            f"{method}: at most {abs(worst.off_pct[method]):.4f} % of nominal ({share:+.1f} % of the drop), {worst.case}"
        )


if __name__ == "__main__":
    main()
