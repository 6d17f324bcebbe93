"""Every check here names its source: a test without one is not collected."""

from collections.abc import Iterator

import pytest

from tests.outside.sources import Source


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "source(*sources): what the test is held against, see tests/outside/sources.py")


def sources_of(item: pytest.Item) -> Iterator[Source]:
    """The sources a test names, its own before its module's."""
    for mark in item.iter_markers("source"):
        yield from mark.args


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    bare = sorted(
        {
            item.nodeid.split("[")[0]
            for item in items
            if "tests/outside/" in item.nodeid.replace("\\", "/") and not list(sources_of(item))
        }
    )
    if bare:
        raise pytest.UsageError("An outside check names its source with @against(...): " + ", ".join(bare))
