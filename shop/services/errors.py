"""Errors of the shop's services. The message of each but `JobCancelled` is a sentence for the user."""

from __future__ import annotations

from collections.abc import Mapping


class ServiceError(Exception):
    """A service cannot do what it was asked; nothing has changed."""


class CannotAllocate(ServiceError):
    """A piece cannot be given or taken back; the message is a sentence for the person at the bench."""


class CannotDispatch(ServiceError):
    """The order is not at that step; the message is a sentence."""


class CannotMove(ServiceError):
    """A piece cannot change to that state; the message is a sentence."""


class CannotPlan(ServiceError):
    """No plan was made or kept; the message is a sentence."""


class CannotTakeOff(ServiceError):
    """A line has to stay as it is; the message is a sentence."""


class MeasuresRefused(ServiceError):
    """What was typed cannot be a piece's measures. `fields` has a sentence for each field at fault."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        super().__init__(" ".join(fields.values()))
        self.fields = dict(fields)


class MeasuresUnusual(MeasuresRefused):
    """Possible but unlikely: to be confirmed by the person who measured."""


class JobCancelled(Exception):
    """A handler gave up because it was asked to stop: its job is handed back and the attempt is not counted."""


class JobRejected(ServiceError):
    """A job cannot be done as asked; the message is a sentence for the user. It is not tried again."""
