"""The weight above which a parcel is heavy: one rule, with its source, for screens, papers and the box itself."""

from dataclasses import dataclass
from decimal import Decimal

from packing.sureness import Sureness
from packing.units import G_PER_POUND


@dataclass(frozen=True, slots=True)
class HandlingRule:
    """A weight above which a parcel is not one person's load.

    Parameters
    ----------
    most_mg
        The heaviest that one person lifts; above it two people or a trolley.
    source, year, sureness
        Where it was read, of which year, how sure.
    """

    most_mg: int
    source: str
    year: str
    sureness: Sureness

    @property
    def words(self) -> str:
        """The weight in both units, "16 kg (35 lb)": it is printed for strangers too."""
        pounds = round(Decimal(self.most_mg) / 1000 / G_PER_POUND)
        return f"{Decimal(self.most_mg) / 1_000_000:f} kg ({pounds} lb)"


ONE_PERSON = HandlingRule(
    16_000_000,
    "HSE guidance INDG143, lifting filter: a woman's figure at elbow height, close to the body; no legal limit",
    "2020",
    Sureness.SECONDARY,
)
"""Not the 23 kg of the NIOSH equation, which is for a lift without any drawback, nor what carriers surcharge."""


def is_heavy(gross_mg: int, rule: HandlingRule = ONE_PERSON) -> bool:
    """Tell whether a parcel is more than one person's load.

    Parameters
    ----------
    gross_mg
        Gross weight in milligrams.
    rule
        The rule to go by.

    Returns
    -------
    bool
        False at exactly the limit.
    """
    return gross_mg > rule.most_mg
