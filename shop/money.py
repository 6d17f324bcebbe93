"""Money: a Decimal with its ISO currency, rounded half-even to the currency's unit at the end and not before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from shop.models import Order

# ISO 4217 minor units other than two; from memory.
WHOLE = ("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF")
THOUSANDTHS = ("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND")
MINOR_UNITS = {**dict.fromkeys(WHOLE, 0), **dict.fromkeys(THOUSANDTHS, 3)}


class TwoCurrencies(ValueError):
    """Amounts of two currencies are never added."""


@dataclass(frozen=True)
class Money:
    """An amount in one currency, exact until it is rounded for showing."""

    amount: Decimal
    currency: str

    def __add__(self, other: Money) -> Money:
        if other.currency != self.currency:
            raise TwoCurrencies(f"{self.currency} and {other.currency} are not added.")
        return Money(self.amount + other.amount, self.currency)

    def __mul__(self, count: int) -> Money:
        return Money(self.amount * count, self.currency)

    def rounded(self) -> Money:
        """Half-even to the currency's unit: 0.125 EUR is 0.12 EUR, 2.5 JPY is 2 JPY."""
        unit = Decimal(1).scaleb(-MINOR_UNITS.get(self.currency, 2))
        return Money(self.amount.quantize(unit, ROUND_HALF_EVEN), self.currency)

    def __str__(self) -> str:
        return f"{self.rounded().amount} {self.currency}"


def totals(amounts: Iterable[Money]) -> list[Money]:
    """Sums, one for each currency, rounded at the end."""
    sums: dict[str, Money] = {}
    for money in amounts:
        sums[money.currency] = sums[money.currency] + money if money.currency in sums else money
    return [sums[currency].rounded() for currency in sorted(sums)]


def order_totals(order: Order) -> list[Money]:
    """Add up an order's priced lines, one sum for each currency."""
    priced = (line for line in order.lines.all() if line.unit_price is not None)
    return totals(
        Money(line.unit_price, line.currency) * line.quantity for line in priced if line.unit_price is not None
    )
