"""How many seeded trials a run makes: all of them in ops/check --long, every tenth otherwise."""

import os


def seeds(count: int) -> list[int]:
    """Seeds 0 to count - 1, or every tenth of them where SPANLEDGER_LONG is not 1."""
    return list(range(0, count, 1 if os.environ.get("SPANLEDGER_LONG") == "1" else 10))
