"""The choice between the posts' customs forms, CN22 or CN23, by dated rows.

References
----------
Forms CN22 and CN23 of the Universal Postal Union: up to 300 SDR and, as letter post, 2 kg CN22, above either CN23; read
on pages about it (dutiable.io/blog/how-to-file-cn22-customs-declaration, 2026-04-11, read 2026-11-27).
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from packing.plan import Figure, Message, Weight
from packing.sureness import Sureness


class CustomsForm(StrEnum):
    """A customs form of the posts."""

    CN22 = "CN22"
    CN23 = "CN23"


@dataclass(frozen=True, slots=True)
class FormLimit:
    """A row: up to which value and weight CN22 is enough, and what an SDR is worth in one currency.

    Parameters
    ----------
    valid_from
        First day it counts.
    currency, per_sdr
        What one special drawing right is worth in a currency; it floats, so that the row is to be kept up.
    most_sdr, most_mg
        The greatest value and gross weight, exactly those included.
    source, as_of, sureness
        Where it was read, of which day, how sure.
    """

    valid_from: dt.date
    currency: str
    per_sdr: Decimal
    source: str
    as_of: dt.date
    sureness: Sureness
    most_sdr: Decimal = Decimal(300)
    most_mg: int = 2_000_000

    @property
    def most_value(self) -> Decimal:
        """The greatest value in the row's currency."""
        return self.most_sdr * self.per_sdr


_PAGE = "page on filing CN22: 300 SDR are about 350 EUR or 420 USD, April 2026"
_READ = dt.date(2026, 4, 11)
CN22_LIMITS = (
    FormLimit(dt.date(2026, 4, 1), "EUR", Decimal("1.1667"), _PAGE, _READ, Sureness.SECONDARY),
    FormLimit(dt.date(2026, 4, 1), "USD", Decimal("1.4"), _PAGE, _READ, Sureness.SECONDARY),
)
"""Rows to begin with; check what an SDR is worth today."""


@dataclass(frozen=True, slots=True)
class FormChoice:
    """The form that is needed, and why."""

    form: CustomsForm
    why: Message
    limit: FormLimit | None = None


def limit_on(limits: Iterable[FormLimit], currency: str, on: dt.date) -> FormLimit | None:
    """The row of a currency that counts on a day: the latest that has begun.

    Parameters
    ----------
    limits
        Rows in any order.
    currency
        Three letters.
    on
        The day.

    Returns
    -------
    FormLimit or None
        None where no row of that currency has begun.
    """
    begun = [row for row in limits if row.currency == currency and row.valid_from <= on]
    # Rows that a later one overtook stay, so that a parcel of an earlier day is judged as it was then.
    return max(begun, key=lambda row: row.valid_from, default=None)


def customs_form(value: Decimal, gross_mg: int, limit: FormLimit | None) -> FormChoice:
    """Choose between CN22 and CN23 by value and gross weight.

    Parameters
    ----------
    value
        Of all goods in the parcel, in the row's currency.
    gross_mg
        Gross weight in milligrams.
    limit
        The row that counts; None where there is none.

    Returns
    -------
    FormChoice
        CN23 wherever either limit is passed, and where what an SDR is worth is not known: it has all that CN22 has.
    """
    if limit is None:
        unknown = Message("What 300 SDR are worth in this currency is not known here: CN23 serves for any value.")
        return FormChoice(CustomsForm.CN23, unknown)
    # What an SDR is worth floats, so that a cent of it means nothing.
    named = Figure(f"{limit.most_value:.0f}", limit.currency)
    sdr = Figure(f"{limit.most_sdr.normalize():f}", "SDR")
    # Value first: it is what the sender knows and can prove.
    if value > limit.most_value:
        why = Message("The value is above {sdr}, about {most}.", sdr=sdr, most=named)
        return FormChoice(CustomsForm.CN23, why, limit)
    if gross_mg > limit.most_mg:
        why = Message("The parcel weighs more than {most}.", most=Weight(limit.most_mg))
        return FormChoice(CustomsForm.CN23, why, limit)
    why = Message(
        "Value and weight are within {sdr} (about {most}) and {weight}.",
        sdr=sdr,
        most=named,
        weight=Weight(limit.most_mg),
    )
    return FormChoice(CustomsForm.CN22, why, limit)
