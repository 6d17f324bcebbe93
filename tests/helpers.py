"""Narrow what a test looks at to what its case has, and fail there where the case has it not."""

import re
from typing import TypeVar

T = TypeVar("T")


def present(value: T | None) -> T:
    """The value, which is there."""
    assert value is not None
    return value


def instance(kind: type[T], value: object) -> T:
    """The value, which is of this kind."""
    assert isinstance(value, kind), f"a {type(value).__name__}, not a {kind.__name__}: {value}"
    return value


def matched(pattern: str, text: str, flags: int = 0) -> re.Match[str]:
    """The first place where the pattern matches, which there is."""
    match = re.search(pattern, text, flags)
    assert match, f"no {pattern!r} in {text[:200]!r}"
    return match
