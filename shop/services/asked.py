"""What jobs are asked for, as their rows say it."""

from __future__ import annotations

import msgspec

from shop.models import Job


class PlanAsked(msgspec.Struct, frozen=True):
    """What a job that plans was asked for: the search's seconds, from what, and instead of which plan."""

    seconds: float
    input: str
    instead_of: int | None

    @classmethod
    def of(cls, job: Job) -> PlanAsked:
        """What a job's row says."""
        return msgspec.convert(job.payload, cls)


class PapersAsked(msgspec.Struct, frozen=True):
    """What a job that makes papers was asked for: of which plan, on which paper."""

    plan: int
    page_size: str

    @classmethod
    def of(cls, job: Job) -> PapersAsked:
        """What a job's row says."""
        return msgspec.convert(job.payload, cls)
