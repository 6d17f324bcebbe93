"""Celery tasks, and what a job of each kind does. A message is only a notice: the work is a job's row."""

from __future__ import annotations

import logging
import os
import socket
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from itertools import product

from celery import shared_task
from django.db import OperationalError, connection
from django.utils.translation import gettext as _

from shop.access import permissions
from shop.models import DocumentKind, Job, JobKind
from shop.services import asked as asked_for
from shop.services import jobs, planning, turns
from shop.services.errors import JobCancelled, JobRejected

logger = logging.getLogger(__name__)


@shared_task(name=jobs.RUN_JOB, ignore_result=True)
def run_job(job_id: int) -> bool:
    """Do the job whose turn it is, if one waits; the notice was sent for `job_id`."""
    logger.debug("Told of job %s.", job_id)
    return jobs.work_next(worker=f"{socket.gethostname()}:{os.getpid()}")


@jobs.handler(JobKind.PLAN)
def plan(job: Job, *, progress: jobs.Report, stop: Callable[[], bool]) -> None:
    """Plan the open boxes of the job's order, then ask for the papers of the plans."""
    order, may = permissions.order_of(job)
    may.require("plan")
    asked = asked_for.PlanAsked.of(job)
    # Somebody has taken another box meanwhile: to plan now would undo that behind their back.
    if list(order.plan_keys) != asked.instead_of:
        raise JobRejected(_("The order has been given another box since this plan was asked for: ask again."))

    def end() -> None:
        """In the transaction that stores the plan: either all is there, or the next worker finds nothing done."""
        planning.request_papers(order)
        if not jobs.finish(job, {"plans": list(order.plan_keys)}):
            raise JobCancelled

    enough = OthersWait(job)
    planning.plan_now(order, asked.seconds, progress=progress, stop=stop, enough=enough, and_then=end)


class OthersWait:
    """True where somebody else waits for a job; the database is asked once a second."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._asked_at = float("-inf")
        self._found = False
        self._thread = threading.get_ident()

    def __call__(self) -> bool:
        if time.monotonic() - self._asked_at >= 1.0:
            self._asked_at = time.monotonic()
            # A database that is busy at this moment is no reason to lose a search: it is asked again in a second.
            with suppress(OperationalError):
                self._found = turns.others_wait(self._job)
            # The search asks from threads of its own, whose connections nobody else would close.
            if threading.get_ident() != self._thread:
                connection.close()
        return self._found


@jobs.handler(JobKind.PAPERS)
def print_papers(job: Job, *, progress: jobs.Report, stop: Callable[[], bool]) -> None:
    """Print the papers of the plans the job names, as long as they are those of the order's parcels."""
    from shop.papers import render_all  # noqa: PLC0415 -- the PDF library takes a second to load; only the worker needs it

    order, may = permissions.order_of(job)
    may.require("print_papers")
    planning.refuse_outdated(order)
    asked = asked_for.PapersAsked.of(job)
    made = {parcel.plan_id: parcel.plan for parcel in order.parcels.select_related("plan")}
    if not made.keys() >= set(asked.plans):
        raise JobRejected(_("The box has been planned again: the papers of the newer plan are the right ones."))
    papers = list(product(asked.plans, DocumentKind.values))
    # One paper after another, so that the job can be stopped between two and tells how far it is.
    for done, (key, kind) in enumerate(papers):
        if stop():
            raise JobCancelled
        progress({"papers": done, "of": len(papers)})
        render_all(made[key], page_size=asked.page_size, kinds=[kind])
    progress({"papers": len(papers), "of": len(papers)})
