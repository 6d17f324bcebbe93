"""Sentences as data: a template with named quantities, rendered where units and language are known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from string import Formatter
from typing import Any, Protocol

from packing.quantities import Count as Count  # noqa: PLC0414
from packing.quantities import Figure as Figure  # noqa: PLC0414
from packing.quantities import Length as Length  # noqa: PLC0414
from packing.quantities import Name as Name  # noqa: PLC0414
from packing.quantities import Percent as Percent  # noqa: PLC0414
from packing.quantities import Run as Run  # noqa: PLC0414
from packing.quantities import Sides as Sides  # noqa: PLC0414
from packing.quantities import Term as Term  # noqa: PLC0414
from packing.quantities import Weight as Weight  # noqa: PLC0414
from packing.units import plain_number


@dataclass(frozen=True, slots=True)
class Series:
    """Several quantities in a row, joined by a separator."""

    parts: tuple[Quantity, ...]
    separator: str = ", "


class Message:
    """A sentence: an English template, which is its own key for translation, and what it speaks of.

    Parameters
    ----------
    template
        Plain English with a name in braces for each quantity: "The inner flaps stay {gap} apart.". A brace that is
        meant is doubled.
    quantities
        By name; a string counts as a `Name`, a whole number as a `Count`. A quantity may be a message itself.

    Raises
    ------
    ValueError
        The names in the template are not those of the quantities.

    Notes
    -----
    A message never decides anything: compare kinds, not sentences. Where the wording depends on a number, write two
    templates and choose where the message is made.
    """

    __slots__ = ("quantities", "template")
    template: str
    quantities: Mapping[str, Quantity]

    def __init__(self, template: str, /, **quantities: Quantity | str | int) -> None:
        named = {name: _quantity(value) for name, value in quantities.items()}
        if quantities or {"{", "}"} & set(template):
            wanted = set(fields_of(template))
            if wanted != set(named):
                raise ValueError(f"template names {sorted(wanted)}, quantities are {sorted(named)}: {template!r}")
        object.__setattr__(self, "template", template)
        object.__setattr__(self, "quantities", named)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a message is never changed: {name}")

    def __reduce__(self) -> tuple[Any, ...]:
        # Copying and pickling would set the attributes one by one, which a message refuses.
        return _rebuilt, (self.template, dict(self.quantities))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Message):
            return NotImplemented
        return self.template == other.template and self.quantities == other.quantities

    def __hash__(self) -> int:
        return hash((self.template, tuple(sorted(self.quantities.items(), key=lambda pair: pair[0]))))

    def __repr__(self) -> str:
        named = "".join(f", {name}={value!r}" for name, value in self.quantities.items())
        return f"Message({self.template!r}{named})"

    def __bool__(self) -> bool:
        return bool(self.template)

    def __str__(self) -> str:
        return render(self)


Quantity = Length | Run | Sides | Weight | Count | Percent | Figure | Name | Term | Series | Message


def _quantity(value: Quantity | str | int) -> Quantity:
    if isinstance(value, str):
        return Name(str(value))
    return Count(value) if isinstance(value, int) else value


def _rebuilt(template: str, quantities: dict[str, Quantity]) -> Message:
    return Message(template, **quantities)


def verbatim(text: str) -> Message:
    """Make a sentence without quantities, such as one that a person typed; its braces are meant.

    Parameters
    ----------
    text
        Plain text.

    Returns
    -------
    Message
    """
    return Message(text.replace("{", "{{").replace("}", "}}"))


def fields_of(template: str) -> Iterator[str]:
    """The names in a template, as often as they stand in it."""
    return (name for _text, name, _spec, _conversion in Formatter().parse(template) if name is not None)


class Wording(Protocol):
    """The units and language in which somebody reads quantities and sentences."""

    def translate(self, template: str) -> str:
        """The template in the reader's language."""

    def length(self, um: int) -> str:
        """A length with its unit."""

    def run(self, um: int) -> str:
        """A long length with its unit."""

    def sides(self, um: Sequence[int]) -> str:
        """Lengths that belong together, with their unit."""

    def weight(self, mg: int) -> str:
        """A weight with its unit."""

    def number(self, value: Decimal) -> str:
        """A plain number."""

    def term(self, key: str) -> str:
        """The name of a field."""


class PlainEnglish:
    """English, millimetres and grams with every decimal they have: what the library prints by itself."""

    def translate(self, template: str) -> str:
        """English is what templates are written in."""
        return template

    def length(self, um: int) -> str:
        """Millimetres."""
        return f"{um / 1000:.10g} mm"

    def run(self, um: int) -> str:
        """Metres to the centimetre."""
        return f"{round(um / 10**6, 2):g} m"

    def sides(self, um: Sequence[int]) -> str:
        """Millimetres."""
        return " × ".join(f"{side / 1000:.10g}" for side in um) + " mm"

    def weight(self, mg: int) -> str:
        """Grams."""
        return f"{mg / 1000:.10g} g"

    def number(self, value: Decimal) -> str:
        """Without trailing zeros."""
        return plain_number(value)

    def term(self, key: str) -> str:
        """The key itself."""
        return key


PLAIN_ENGLISH: Wording = PlainEnglish()


def render(message: Message, wording: Wording = PLAIN_ENGLISH) -> str:
    """Write a message out.

    Parameters
    ----------
    message
        What to say.
    wording
        The reader's units and language; the library's own English in mm and g where not given.

    Returns
    -------
    str
        Plain text.
    """
    template = wording.translate(message.template)
    return template.format(**{name: _shown(value, wording) for name, value in message.quantities.items()})


def _shown(value: Quantity, wording: Wording) -> str:
    match value:
        case Length(um):
            return wording.length(um)
        case Run(um):
            return wording.run(um)
        case Sides(um):
            return wording.sides(um)
        case Weight(mg):
            return wording.weight(mg)
        case Count(number):
            return wording.number(Decimal(number))
        case Percent(number):
            return f"{wording.number(number)} %"
        case Figure(text, unit):
            return f"{text} {unit}" if unit else text
        case Name(text):
            return text
        case Term(key):
            return wording.term(key)
        case Series(parts, separator):
            return separator.join(_shown(part, wording) for part in parts)
        case Message():
            return render(value, wording)
