"""Single values of an order file: read, or refused with field, rule and value; and written again."""

import json
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from typing import Any, TypeVar

from packing.measure.errors import BadInput
from packing.messages import Figure, Length, Message, Weight

LONGEST_UM = 5_000_000
HEAVIEST_MG = 100_000_000
SHOWN_CHARACTERS = 60
MOST_SPOKEN = 10**7
"""Millimetres or grams: a refused number beyond it is a slip of the keyboard, repeated as it was typed."""
K = TypeVar("K", bound=StrEnum)


def mm(um: int) -> int | float:
    """Write micrometres as a JSON number of millimetres.

    Parameters
    ----------
    um
        Whole micrometres.

    Returns
    -------
    int or float
        An int where it is whole.
    """
    return um // 1000 if um % 1000 == 0 else um / 1000


def grams(mg: int) -> int | float:
    """Write milligrams as a JSON number of grams.

    Parameters
    ----------
    mg
        Whole milligrams.

    Returns
    -------
    int or float
        An int where it is whole.
    """
    return mg // 1000 if mg % 1000 == 0 else mg / 1000


def shown(value: Any) -> str:
    """A refused value as its file has it, cut short where it is long."""
    number = isinstance(value, (int, Decimal)) and not isinstance(value, bool)
    text = str(Decimal(value)) if number else json.dumps(value, default=str)
    return text if len(text) <= SHOWN_CHARACTERS else text[:SHOWN_CHARACTERS] + "…"


def read_number(value: Any, field: str) -> Decimal:
    """Read a finite number."""
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise BadInput(field, f"must be a number, not {shown(value)}.")
    number = Decimal(str(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise BadInput(field, f"must be a finite number, not {value}.")
    return number


def read_length_um(value: Any, field: str, *, zero: bool = False, limit_um: int = LONGEST_UM) -> int:
    """Read a length in mm, a multiple of 0.01 mm, as whole micrometres."""
    number = read_number(value, field)
    if number < 0 or (number == 0 and not zero):
        template = "must be zero or more, not {given}." if zero else "must be greater than zero, not {given}."
        raise BadInput(field, Message(template, given=_given_mm(number, value)))
    if number > Decimal(limit_um) / 1000:
        given = _given_mm(number, value)
        raise BadInput(field, Message("must be at most {most}, not {given}.", most=Length(limit_um), given=given))
    hundredths = int(number * 100)
    if number != Decimal(hundredths) / 100:
        raise BadInput(field, f"must be a multiple of 0.01 mm, not {shown(value)} mm.")
    return hundredths * 10


def _given_mm(number: Decimal, value: Any) -> Length | Figure:
    """A refused length as the reader's units say it, or as it was given where it is too fine or too large for that."""
    return Length(int(number * 1000)) if _speakable(number) else Figure(shown(value), "mm")


def _given_g(number: Decimal, value: Any) -> Weight | Figure:
    return Weight(int(number * 1000)) if _speakable(number) else Figure(shown(value), "g")


def _speakable(number: Decimal) -> bool:
    return number.copy_abs() < MOST_SPOKEN and number * 1000 == int(number * 1000)


def read_weight_mg(value: Any, field: str) -> int:
    """Read a weight in g as whole milligrams."""
    number = read_number(value, field)
    if number <= 0:
        raise BadInput(field, Message("must be greater than zero, not {given}.", given=_given_g(number, value)))
    if number > Decimal(HEAVIEST_MG) / 1000:
        given = _given_g(number, value)
        raise BadInput(field, Message("must be at most {most}, not {given}.", most=Weight(HEAVIEST_MG), given=given))
    return max(1, int((number * 1000).to_integral_value(ROUND_HALF_EVEN)))


def read_flag(value: Any, field: str) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise BadInput(field, f"must be true or false, not {shown(value)}.")
    return value


def read_choice(value: Any, field: str, kind: type[K]) -> K:
    """Read one of a closed list of words."""
    choices = list(kind)
    if not isinstance(value, str) or value not in choices:
        raise BadInput(field, f"must be one of {', '.join(choices)}, not {shown(value)}.")
    return kind(value)


def read_name(value: Any, field: str) -> str:
    """Read a name: up to 80 printable characters, not empty."""
    if not isinstance(value, str) or not value.strip():
        raise BadInput(
            field,
            f"must be a text that is not empty, not {shown(value)}.",
        )
    if len(value) > 80 or not value.isprintable():
        raise BadInput(
            field,
            f"must be at most 80 printable characters, not {shown(value)}.",
        )
    return value


def read_mapping(value: Any, field: str) -> Mapping[str, Any]:
    """Read an object with named fields."""
    if not isinstance(value, Mapping):
        raise BadInput(
            field,
            f"must be an object with named fields, not {shown(value)}.",
        )
    return value


def refuse_unknown(content: Mapping[str, Any], known: Sequence[str], field: str) -> None:
    """Raise BadInput where a field is not known."""
    for key in content:
        if key not in known:
            path = f"{field}.{key}" if field else str(key)
            raise BadInput(path, f"is not known here; known are {', '.join(known)}.")


def need(content: Mapping[str, Any], key: str, field: str) -> Any:
    """Give a field that must be there."""
    if key not in content or content[key] is None:
        raise BadInput(f"{field}.{key}" if field else key, "is missing.")
    return content[key]
