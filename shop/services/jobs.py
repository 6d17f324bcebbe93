"""Jobs: rows that are claimed, leased, renewed, requeued and recovered. The broker only carries notices.

A job is asked for with `enqueue`, which writes the row and, once it is committed, notifies the workers. A worker that
is told calls `work_next`: it claims the row whose turn it is by a conditional update, hands it to the handler of its
kind and renews the lease meanwhile. A lost notice, a broker that is down and a worker that dies cost time, never a job:
`recover` takes back what a dead worker held and notifies the workers of what still waits.
"""

from __future__ import annotations

import logging
import mmap
import secrets
import threading
import time
from collections.abc import Callable
from datetime import timedelta
from types import TracebackType
from typing import Protocol, TypeVar

from amqp.exceptions import AMQPError
from celery import current_app
from django.conf import settings
from django.db import DatabaseError, connection, transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext
from kombu.exceptions import KombuError

from shop.models import Job, JobState, Order, Shop
from shop.services import audit
from shop.services.errors import DomainError, JobCancelled
from shop.services.passing import goes_on_by_itself, put_off_for
from shop.services.turns import next_in_turn

logger = logging.getLogger(__name__)

RUN_JOB = "shop.run_job"
MOST_NOTICES = 20
"""After a long stand-still a flood of notices would only be read one by one: each worker asks for the next job
itself.
"""
PROGRESS_EVERY_S = 0.3
"""A screen asks about once a second, and each write is a transaction."""
STOP_GRACE_S = 1.5
"""A supervisor waits a few seconds before it kills; by then the job must be another worker's."""
LOOK_EVERY_S = 1.0
"""Interval at which a job at work looks whether it has been cancelled."""


Report = Callable[[dict[str, object]], None]
"""Told how far a job is, as plain JSON."""


class Handler(Protocol):
    """Does one kind of job.

    It polls ``stop`` at least every half second of work and, when that is true, raises `JobCancelled`; returning means
    done. Where it is slower than `STOP_GRACE_S`, its job is requeued without it. It may be called again for a job that
    a dead worker left half done, so it must be safe to repeat.
    """

    def __call__(self, job: Job, *, progress: Report, stop: Callable[[], bool]) -> None: ...


H = TypeVar("H", bound=Handler)
_handlers: dict[str, Handler] = {}


def handler(kind: str) -> Callable[[H], H]:
    """Register the decorated function as the handler of a kind of job."""

    def register(function: H) -> H:
        _handlers[kind] = function
        return function

    return register


# One byte shared with every process forked later; setting it in a signal handler takes no lock.
_stop_flag = mmap.mmap(-1, 1)


def request_stop(*, stop: bool = True) -> None:
    """Ask every handler in this process and in those forked from it to stop, or to go on after all."""
    _stop_flag[0] = stop


def stop_requested() -> bool:
    """Tell whether this worker has been asked to stop."""
    return _stop_flag[0] != 0


_at_work: set[int] = set()


def at_work() -> bool:
    """Tell whether this very thread is doing a job."""
    return threading.get_ident() in _at_work


def busy() -> bool:
    """Tell whether any thread of this process is doing a job."""
    return bool(_at_work)


def enqueue(*, shop: Shop, order: Order, kind: str, payload: dict[str, object]) -> Job:
    """Ask for a job and notify once the row is committed; one that is open for just this is returned instead.

    It is asked for by who is at work in this thread, or by whose job this thread is doing.
    """
    with transaction.atomic():
        Order.objects.select_for_update().get(pk=order.pk)  # one asks at a time
        open_states = (JobState.WAITING, JobState.RUNNING)
        under_way = Job.objects.filter(shop=shop, order=order, kind=kind, state__in=open_states).order_by("pk")
        job = next((row for row in under_way if row.payload == payload), None)
        if job is None:
            job = Job.objects.create(shop=shop, order=order, kind=kind, payload=payload, asked_by=audit.actor.get())
    # Robust: a notice that fails must not fail a request whose job is stored by then.
    # A function with a name of its own: Django names it in the log where it breaks off, and a partial has none.
    transaction.on_commit(lambda: notify_workers(job.pk), robust=True)
    return job


def cancel(job: Job) -> bool:
    """Cancel a job that waits or runs; False where it is over already.

    The worker that does it notices within a second or two, stops, and stores nothing.
    """
    open_states = (JobState.WAITING, JobState.RUNNING)
    with transaction.atomic():
        # Conditional: a job that ended this very moment stays as it ended, and no cancelling is recorded.
        changed = Job.objects.filter(pk=job.pk, state__in=open_states).update(
            state=JobState.CANCELLED, finished_at=timezone.now(), **_NO_LEASE
        )
        if changed:
            audit.record("job cancelled", job.order, after={"job": job.get_kind_display()})
    return changed == 1


def notify_workers(job_id: int) -> bool:
    """Tell the workers that a job waits; False where the broker cannot be reached (`recover` tells them again).

    The worker that hears it does the job whose turn it is, which may be another one.
    """
    # By then `recover` sends the notice again; older ones would pile up in a broker that nobody listens to. And no
    # retries: a request must not wait for a broker that is down.
    expires = settings.JOB_RECOVERY_SECONDS
    try:
        current_app.send_task(RUN_JOB, args=[job_id], retry=False, expires=expires, ignore_result=True)
    except (KombuError, AMQPError, OSError) as error:
        logger.warning("The broker cannot be reached (%s); job %s waits until jobs are recovered.", error, job_id)
        return False
    return True


def claim(job_id: int, worker: str) -> Job | None:
    """Claim a waiting job for this worker and count the attempt; None if it does not wait any more."""
    now = timezone.now()
    # The random part tells this claim from an earlier one of the same worker: a lease once lost stays lost.
    owner = f"{worker[:100]}/{secrets.token_hex(6)}"
    # One statement both asks and takes: of several workers that are told of the job, one changes the row.
    claimed = Job.objects.filter(pk=job_id, state=JobState.WAITING, attempts__lt=F("max_attempts")).update(
        state=JobState.RUNNING,
        attempts=F("attempts") + 1,
        lease_owner=owner,
        lease_until=now + _lease(),
        started_at=now,
        finished_at=None,
        progress={},
        error="",
    )
    return Job.objects.get(pk=job_id) if claimed else None


def renew(job: Job) -> bool:
    """Extend the lease of a claimed job; False if the claim has been lost."""
    return _held(job).update(lease_until=timezone.now() + _lease()) == 1


def is_held(job: Job) -> bool:
    """Tell whether a claimed job is still ours: not cancelled, and not given to another worker."""
    return _held(job).exists()


def finish(job: Job, progress: dict[str, object] | None = None) -> bool:
    """Mark a claimed job done, with a last word on its progress; False if the claim has been lost.

    A handler that changes rows calls it in the same transaction, so that its work is done once or not at all.
    """
    last = {} if progress is None else {"progress": progress}
    return _held(job).update(state=JobState.DONE, finished_at=timezone.now(), **last, **_NO_LEASE) == 1


def fail(job: Job, sentence: str) -> bool:
    """Mark a claimed job failed for good, with a sentence for the user; False if the claim has been lost."""
    now = timezone.now()
    return _held(job).update(state=JobState.FAILED, error=sentence, finished_at=now, **_NO_LEASE) == 1


def requeue(job: Job) -> bool:
    """Let a claimed job wait again as if it had not been claimed; False if the claim has been lost."""
    # The attempt is given back: workers that are restarted often must not use up a job that never failed.
    fresh: dict[str, object] = {"attempts": F("attempts") - 1, "started_at": None, "progress": {}}
    return _held(job).update(state=JobState.WAITING, **fresh, **_NO_LEASE) == 1


def put_off(job: Job, sentence: str) -> bool:
    """Let a claimed job wait for a trouble that passes, with a sentence for the user; False if the claim was lost.

    The attempt is given back: however long a disk stays full or a folder closed, the job goes on once it is not. That
    it was begun stays on record, so that it was this person's turn.
    """
    attempts = F("attempts") - 1
    return _held(job).update(state=JobState.WAITING, attempts=attempts, progress={}, error=sentence, **_NO_LEASE) == 1


def work_next(worker: str) -> bool:
    """Do the waiting job whose turn it is. Returns False if none waits, or others were quicker."""
    return any(work(job_id, worker) for job_id in next_in_turn())


def work(job_id: int, worker: str) -> bool:
    """Claim a job, do it and record how it ended. Returns False if there was nothing to claim."""
    if stop_requested():
        return False
    job = claim(job_id, worker)
    if job is None:
        return False
    _at_work.add(threading.get_ident())
    token = audit.actor.set(job.asked_by)
    try:
        _do(job)
    finally:
        audit.actor.reset(token)
        _at_work.discard(threading.get_ident())
    return True


def _do(job: Job) -> None:
    with _Lease(job) as lease:
        report = _Progress(job)
        try:
            _handlers[job.kind](job, progress=report, stop=lambda: stop_requested() or lease.lost.is_set())
        except JobCancelled:
            requeue(job)
        except DomainError as refusal:
            fail(job, str(refusal))
        except Exception as error:
            logger.exception("Job %s (%s) broke off.", job.pk, job.kind)
            if goes_on_by_itself(error):
                put_off(job, put_off_for(error))
            else:
                _try_again_or_fail(job)
        except BaseException:
            # What ends the worker is no fault of the job: another worker takes it at once, without waiting for the
            # lease.
            requeue(job)
            raise
        else:
            report.flush()
            finish(job)


def recover() -> int:
    """Take back what dead workers held, give up what was tried too often, notify of what waits; return how many."""
    now = timezone.now()
    lapsed = Q(state=JobState.RUNNING) & (Q(lease_until__lt=now) | Q(lease_until=None))
    tired = Q(attempts__gte=F("max_attempts"))
    Job.objects.filter(tired & (lapsed | Q(state=JobState.WAITING))).update(
        state=JobState.FAILED, error=_gave_up(), finished_at=now, **_NO_LEASE
    )
    Job.objects.filter(lapsed).update(state=JobState.WAITING, **_NO_LEASE)
    # A lease that reaches farther than any can was given before the clock was set back: one whole lease is left of it,
    # in which a worker that lives renews it.
    Job.objects.filter(state=JobState.RUNNING, lease_until__gt=now + _lease()).update(lease_until=now + _lease())
    waiting = Job.objects.filter(state=JobState.WAITING).order_by("pk")
    notified = 0
    for job_id in waiting.values_list("pk", flat=True)[:MOST_NOTICES]:
        if not notify_workers(job_id):
            break
        notified += 1
    return notified


_NO_LEASE: dict[str, object] = {"lease_owner": "", "lease_until": None}


def _lease() -> timedelta:
    return timedelta(seconds=settings.JOB_LEASE_SECONDS)


def _held(job: Job) -> QuerySet[Job]:
    # The owner is asked for each time: a worker that was too slow must not change a job that another has claimed since.
    return Job.objects.filter(pk=job.pk, state=JobState.RUNNING, lease_owner=job.lease_owner)


def _gave_up() -> str:
    return gettext("It was tried several times and broke off each time. Ask for it again; the worker's log says more.")


def _try_again_or_fail(job: Job) -> None:
    if job.attempts >= job.max_attempts:
        fail(job, _gave_up())
    else:
        # The attempt stays counted: what broke off by itself may do so each time.
        _held(job).update(state=JobState.WAITING, **_NO_LEASE)


class _Lease:
    """Holds a job from a thread of its own: renews the lease, and hands the job back when its handler does not stop."""

    def __init__(self, job: Job) -> None:
        self.lost = threading.Event()
        self._job = job
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._hold_until_over, name=f"lease of job {job.pk}", daemon=True)

    def __enter__(self) -> _Lease:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._over.set()
        self._thread.join(timeout=5)

    def _hold_until_over(self) -> None:
        try:
            self._hold()
        finally:
            # The thread has a connection of its own, which nobody else would close.
            connection.close()

    def _hold(self) -> None:
        # One renewal may fail, the database being busy, and the next still comes in time.
        every_s = settings.JOB_LEASE_SECONDS / 3
        renew_at = time.monotonic() + every_s
        look_at = time.monotonic() + LOOK_EVERY_S
        asked_at = None
        # A quarter of a second: a stop has to be seen well within STOP_GRACE_S.
        while not self._over.wait(min(every_s, 0.25)) and not self.lost.is_set():
            now = time.monotonic()
            if stop_requested():
                asked_at = now if asked_at is None else asked_at
                if now - asked_at >= STOP_GRACE_S and self._unless_busy(requeue) is not None:
                    self.lost.set()
            elif now >= renew_at:
                renew_at = now + every_s
                if self._unless_busy(renew) is False:
                    self.lost.set()
            elif now >= look_at:
                look_at = now + LOOK_EVERY_S
                if self._unless_busy(is_held) is False:
                    self.lost.set()

    def _unless_busy(self, change: Callable[[Job], bool]) -> bool | None:
        try:
            return change(self._job)
        except DatabaseError:
            # Not lost: the database may be busy for a moment, and the lease still runs.
            logger.warning("The lease of job %s could not be changed yet.", self._job.pk, exc_info=True)
            return None


class _Progress:
    """Writes a handler's progress to the row, not more often than a screen would show it."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._latest: dict[str, object] | None = None
        self._written_at = float("-inf")

    def __call__(self, progress: dict[str, object]) -> None:
        self._latest = dict(progress)
        if time.monotonic() - self._written_at >= PROGRESS_EVERY_S:
            self.flush()

    def flush(self) -> None:
        if self._latest is not None:
            _held(self._job).update(progress=self._latest)
            self._latest = None
            self._written_at = time.monotonic()
