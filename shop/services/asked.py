"""Requests of jobs, as their rows say them."""

from __future__ import annotations

import msgspec

from shop.models import Job


class PlanAsked(msgspec.Struct, frozen=True):
    """The request of a job that plans: the search's seconds, from what, and instead of which parcels' plans."""

    seconds: float
    input: str
    instead_of: list[int]

    @classmethod
    def of(cls, job: Job) -> PlanAsked:
        """Read the request from a job's row."""
        return msgspec.convert(job.payload, cls)


class PapersAsked(msgspec.Struct, frozen=True):
    """The request of a job that makes papers: of which parcels' plans, on which paper."""

    plans: list[int]
    page_size: str

    @classmethod
    def of(cls, job: Job) -> PapersAsked:
        """Read the request from a job's row."""
        return msgspec.convert(job.payload, cls)
