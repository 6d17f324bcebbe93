"""``python -m tests.outside``: the table of outside checks with their sources, and how many there are of each.

Collects the tests without running them. A check is a test function; its cases are counted beside it.
"""

import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.outside.conftest import sources_of
from tests.outside.sources import SURENESS, Source

HERE = Path(__file__).parent


class Collected:
    """A plugin that keeps what was collected."""

    def __init__(self) -> None:
        self.items: list[pytest.Item] = []

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        self.items = session.items


def least_sure(sources: list[Source]) -> str:
    """The weakest of a check's sources; worked out (derived, library) counts as sure as the rest of the check."""
    read = [source.sureness for source in sources if source.sureness in SURENESS[:4]]
    return max(read, key=SURENESS.index) if read else sources[0].sureness


def table(items: list[pytest.Item]) -> str:
    """One line for each check and source, then the counts."""
    cases: Counter[str] = Counter()
    named: dict[str, list[Source]] = {}
    for item in items:
        check = item.nodeid.split("[")[0].split("tests/outside/")[-1]
        cases[check] += 1
        named[check] = list(dict.fromkeys(sources_of(item)))
    lines = []
    for check in sorted(named):
        lines.append(f"{check.replace('.py::', '  ')}  ({cases[check]}, {least_sure(named[check])})")
        lines += [f"    {one.title}; {one.page}; {one.day}; {one.sureness}" for one in named[check]]
    every = {source for sources in named.values() for source in sources}
    sure = Counter(least_sure(sources) for sources in named.values())
    lines += [
        "",
        f"{len(named)} checks with {sum(cases.values())} cases, from {len(every)} sources.",
        "Least sure part of a check: " + ", ".join(f"{sure[name]} {name}" for name in SURENESS if sure[name]) + ".",
    ]
    return "\n".join(lines)


def main() -> int:
    """Collect, then print the table."""
    kept = Collected()
    status = pytest.main(["--collect-only", "-p", "no:terminal", "-p", "no:randomly", str(HERE)], plugins=[kept])
    if status:
        return int(status)
    sys.stdout.write(table(kept.items) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
