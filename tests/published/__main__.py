"""One table of all published checks: `python -m tests.published`."""

from __future__ import annotations

import sys
from collections import Counter

from tests.published.harness import examples, outcomes


def main() -> int:
    """Print passed / total / set aside by topic, then each reason and each failure. Exit code 1 on a failure."""
    passed: Counter[str] = Counter()
    failed: Counter[str] = Counter()
    aside: Counter[str] = Counter()
    reasons: list[str] = []
    count: Counter[str] = Counter()
    for example in examples():
        topic = f"{example.topic}, inputs only" if example.seen == "inputs-only" else example.topic
        count[topic] += 1
        for outcome in outcomes(example):
            if outcome.aside:
                aside[topic] += 1
                reasons.append(f"{example.id} {outcome.key}: {outcome.aside}")
            elif outcome.passed:
                passed[topic] += 1
            else:
                failed[topic] += 1
                reasons.append(f"FAILS {example.id} {outcome.key}: source {outcome.expected}, ours {outcome.got}")
    print(f"{'topic':38}{'examples':>9}{'values':>8}{'passed':>8}{'aside':>7}{'failed':>8}")
    for topic in count:
        total = passed[topic] + failed[topic] + aside[topic]
        print(f"{topic:38}{count[topic]:9}{total:8}{passed[topic]:8}{aside[topic]:7}{failed[topic]:8}")
    total = sum(passed.values()) + sum(failed.values()) + sum(aside.values())
    print(
        f"{'all':38}{sum(count.values()):9}{total:8}{sum(passed.values()):8}{sum(aside.values()):7}{sum(failed.values()):8}"
    )
    print("\nSet aside, and why")
    for reason in dict.fromkeys(reasons):
        print(f"- {reason}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
