"""The lines of a customs declaration, and what is wrong with them."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from packing.measure import BadInput
from packing.plan import Message, Weight

HEADING = re.compile(r"[0-9]{6}")
"""The figures that all countries share; what each adds to them is its own."""
VAGUE = frozenset(
    ["tool", "tools", "goods", "gift", "gifts", "parts", "sample", "samples", "merchandise", "hardware", "items"]
)
"""Words that may mean anything: a description of these alone tells an officer nothing to look up."""
LEAST_WORDS = 2
"""One word names a thing; it takes another to say of what it is, or for what (our own judgement)."""
MOST_DESCRIPTION = 120
"""Letters of a description that a form has room for (our own judgement)."""


@dataclass(frozen=True, slots=True)
class DeclarationLine:
    """One kind of goods.

    Parameters
    ----------
    description
        In plain words that a customs officer understands: "forged cross-peen hammer, ash handle".
    quantity
        Pieces.
    net_mg
        Weight of all of them without any packing, in milligrams.
    value
        Of all of them, in the declaration's currency.
    heading
        Six digits, as confirmed by a person.
    origin
        Where they were made, a country of two letters.
    """

    description: str
    quantity: int
    net_mg: int
    value: Decimal
    heading: str
    origin: str


@dataclass(frozen=True, slots=True)
class Declaration:
    """All lines of one parcel, its gross weight in milligrams and its currency; net and gross are kept apart."""

    lines: tuple[DeclarationLine, ...]
    gross_mg: int
    currency: str

    @property
    def net_mg(self) -> int:
        """Goods alone."""
        return sum(line.net_mg for line in self.lines)

    @property
    def packing_mg(self) -> int:
        """Box, insert and what else is no goods."""
        return self.gross_mg - self.net_mg

    @property
    def value(self) -> Decimal:
        """Of all goods."""
        return sum((line.value for line in self.lines), Decimal(0))


def checked(lines: Sequence[DeclarationLine], gross_mg: int, currency: str) -> Declaration:
    """Make a declaration of lines that customs could read.

    Parameters
    ----------
    lines
        At least one.
    gross_mg
        Gross weight of the closed parcel in milligrams.
    currency
        Three letters.

    Returns
    -------
    Declaration

    Raises
    ------
    BadInput
        A description says nothing, a heading is not six digits, a weight, value or quantity cannot be, or the goods
        weigh more than the parcel; it names line and field.
    """
    if not lines:
        raise BadInput("lines", Message("A declaration has at least one line."))
    # Line by line before the sums, so that a value that cannot be is named where it was written.
    for place, line in enumerate(lines):
        for field, fault in _faults(line):
            raise BadInput(f"lines[{place}].{field}", fault)
    found = Declaration(tuple(lines), gross_mg, currency)
    if found.net_mg > gross_mg:
        raise BadInput(
            "lines",
            Message(
                "The goods weigh {net} without packing, more than the whole parcel ({gross}).",
                net=Weight(found.net_mg),
                gross=Weight(gross_mg),
            ),
        )
    return found


def _faults(line: DeclarationLine) -> list[tuple[str, Message]]:
    # Letters of any script, no figures: "125 x 40" says nothing of what a thing is.
    words = re.findall(r"[^\W\d_]+", line.description.lower())
    faults = []
    if len(words) < LEAST_WORDS or not set(words) - VAGUE:
        say = "Say in plain words what it is, of what and for what, such as “forged hammer, ash handle”, not “{text}”."
        faults.append(("description", Message(say, text=line.description)))
    if len(line.description) > MOST_DESCRIPTION:
        most = Message(
            "A description has at most {most} letters, not {length}.",
            most=MOST_DESCRIPTION,
            length=len(line.description),
        )
        faults.append(("description", most))
    if not HEADING.fullmatch(line.heading):
        faults.append(("heading", Message("A heading is six digits, not “{text}”.", text=line.heading)))
    if line.quantity < 1:
        faults.append(("quantity", Message("A quantity is 1 or more, not {value}.", value=line.quantity)))
    if line.net_mg <= 0:
        faults.append(("net_mg", Message("A net weight is above zero, not {value}.", value=Weight(line.net_mg))))
    if not (line.value.is_finite() and line.value >= 0):
        faults.append(("value", Message("A value is 0 or more, not {value}.", value=str(line.value))))
    return faults
