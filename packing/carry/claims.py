"""Days in which a carrier takes a claim for what was lost or damaged: dated examples, to be checked.

References
----------
US Postal Service, page on claims as a forum quotes it (60 days from mailing); a shipping insurer's page on UPS and
FedEx (60 days); both read 2026-11-27.
"""

import datetime as dt
from dataclasses import dataclass

from packing.sureness import Sureness


@dataclass(frozen=True, slots=True)
class ClaimRule:
    """A carrier's time for claims, in days from handing over, and where that was read."""

    carrier: str
    days: int
    source: str
    year: str
    sureness: Sureness


_INSURER = "a shipping insurer's page on claims"
CLAIM_RULES = (
    ClaimRule("USPS", 60, "the post's page on claims as quoted, from mailing", "2026", Sureness.SECONDARY),
    ClaimRule("UPS", 60, _INSURER, "2026", Sureness.SECONDARY),
    ClaimRule("FedEx", 60, _INSURER, "2026", Sureness.SECONDARY),
)


def claim_rule(carrier: str) -> ClaimRule | None:
    """The rule of a carrier by its name.

    Parameters
    ----------
    carrier
        As the shop writes it.

    Returns
    -------
    ClaimRule or None
        None where nothing is known: ask the carrier.
    """
    return next((rule for rule in CLAIM_RULES if rule.carrier.lower() == carrier.strip().lower()), None)


def claim_deadline(carrier: str, handed_over: dt.date) -> dt.date | None:
    """The last day for a claim by the published rule.

    Parameters
    ----------
    carrier
        As the shop writes it.
    handed_over
        The day it was handed over.

    Returns
    -------
    datetime.date or None
        None where nothing is known of the carrier.
    """
    rule = claim_rule(carrier)
    return None if rule is None else handed_over + dt.timedelta(days=rule.days)
