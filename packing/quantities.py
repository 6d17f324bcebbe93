"""Quantities of sentences: lengths, weights, counts, names, each shown as its reader reads it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Length:
    """A length in whole micrometres."""

    um: int


@dataclass(frozen=True, slots=True)
class Run:
    """A long length, such as tape off a roll, in whole micrometres: read in metres or feet."""

    um: int


@dataclass(frozen=True, slots=True)
class Sides:
    """Two or three lengths that belong together, read as "490 × 190 × 125 mm"; whole micrometres."""

    um: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight in whole milligrams."""

    mg: int


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number of things."""

    value: int


@dataclass(frozen=True, slots=True)
class Percent:
    """A share in hundredths, such as Decimal("7.5")."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure in the unit a published rule is written in, such as 320 lbf: shown as it stands in every language."""

    value: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Name:
    """A proper name or an id, such as that of a piece, a board or a rule: shown as it stands in every language."""

    text: str


@dataclass(frozen=True, slots=True)
class Term:
    """The key of a field in a file, such as `weight_g`: shown as the reader's screens call that field."""

    key: str
