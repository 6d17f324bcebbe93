"""Errors of the shop's services, with the base of all that people are told of, `DomainError`.

It has a code for programs, a sentence for the person it stops, and a sentence for each field at fault. Screens tell it
by `views.page.tells_refusals`, or in the form that asked by `told_in`; the API in its one error shape; a job in its
row.
"""

from __future__ import annotations

from collections.abc import Mapping

from shop.adapter import DomainError

__all__ = [
    "CannotAllocate",
    "CannotDispatch",
    "CannotMove",
    "CannotPlan",
    "CannotQuote",
    "CannotTakeOff",
    "CannotTakeStock",
    "DomainError",
    "JobCancelled",
    "JobRejected",
    "MeasuresRefused",
    "MeasuresUnusual",
    "PricesRefused",
    "ServiceError",
    "TooHeavy",
]


class ServiceError(DomainError):
    """A service cannot do what it was asked; nothing has changed."""

    code = "conflict"


class CannotAllocate(ServiceError):
    """A piece cannot be given or taken back."""


class CannotDispatch(ServiceError):
    """The order is not at that step."""


class CannotLeave(ServiceError):
    """A shop would be left without an owner; the message is a sentence."""


class CannotMove(ServiceError):
    """A piece cannot change to that state."""


class CannotPlan(ServiceError):
    """No plan was made or kept."""


class TooHeavy(CannotPlan):
    """No box was found for a parcel that is as light as the shop wants its parcels."""


class CannotQuote(ServiceError):
    """No quote was made, or none that holds any more."""


class CannotTakeOff(ServiceError):
    """A line has to stay as it is."""


class CannotTakeStock(ServiceError):
    """Nothing was taken from stock, or nothing given back."""


class JobRejected(ServiceError):
    """A job cannot be done as asked."""


class MeasuresRefused(ServiceError):
    """Raised where typed values cannot be a piece's measures; `fields` has a sentence for each field at fault."""

    code = "invalid"

    def __init__(self, fields: Mapping[str, str]) -> None:
        super().__init__(" ".join(fields.values()), fields)


class MeasuresUnusual(MeasuresRefused):
    """Possible but unlikely: to be confirmed by the person who measured."""

    code = "unusual"


class PricesRefused(ServiceError):
    """A file of prices has a fault: nothing of it is stored."""

    code = "invalid"


class JobCancelled(Exception):
    """A handler gave up because it was asked to stop: its job is handed back and the attempt is not counted."""
