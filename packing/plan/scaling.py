"""Numbers of a plan's file, in millimetres and grams, and the whole thousandths of them inside."""

from collections.abc import Callable, Mapping
from typing import Any

from packing.plan.rows import FILE_SUFFIXES, LENGTHS_BY_NAME

IN_THOUSANDS = (*FILE_SUFFIXES.values(), *LENGTHS_BY_NAME)
"""Ends of the keys of lengths and weights in a file."""

_EXACT = 1e-6
"""Share of a value by which a decimal fraction may miss a thousandth: far above the rounding of a float (1e-16), far
below anything that somebody may have meant."""


def from_file(value: object) -> int:
    """A length or a weight of a file in whole thousandths; raises ValueError where it is none, or is finer."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"a length or a weight must be a number, not {value!r}")
    whole = round(value * 1000)
    if abs(value * 1000 - whole) > _EXACT * max(1, abs(whole)):
        raise ValueError(f"{value!r} is finer than a thousandth")
    return whole


def scaled(value: Any, change: Callable[[Any], Any], scaling: bool = False) -> Any:
    """A copy of plain values in which every number under a key with a unit is changed; sentences are left alone."""
    if isinstance(value, Mapping):
        # A sentence keeps its figures in the unit that their keys name.
        if "template" in value:
            return value
        return {key: scaled(inner, change, key.endswith(IN_THOUSANDS)) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [scaled(inner, change, scaling) for inner in value]
    return change(value) if scaling and value is not None else value
