"""Turns at the worker: people take turns."""

from __future__ import annotations

from django.db.models import F, Max

from shop.models import Job, JobState


def next_in_turn() -> list[int]:
    """The waiting jobs of whoever is next, in the order they were asked for.

    People take turns: next is who has waited longest since a job of theirs was begun, so that one job of one person
    comes before another person's queue. What was put off, with a sentence, comes after what was not.
    """
    waiting = Job.objects.filter(state=JobState.WAITING, attempts__lt=F("max_attempts")).order_by("error", "pk")
    queues: dict[int | None, list[int]] = {}
    for job_id, person in waiting.values_list("pk", "asked_by"):
        queues.setdefault(person, []).append(job_id)
    # With one person's jobs alone there are no turns to take, and nothing more to ask the database.
    if len(queues) < 2:
        return next(iter(queues.values()), [])
    begun = Job.objects.filter(started_at__isnull=False, asked_by__in=[who for who in queues if who is not None])
    served = dict(begun.order_by().values_list("asked_by").annotate(Max("started_at")))
    if None in queues:
        unnamed = Job.objects.filter(asked_by=None, started_at__isnull=False).order_by("-started_at")
        served[None] = unnamed.values_list("started_at", flat=True).first()
    # Who was never served comes first, then who has waited longest since; among equals the older request.
    first = min(queues, key=lambda who: (served.get(who) is not None, served.get(who), queues[who][0]))
    return queues[first]


def others_wait(job: Job) -> bool:
    """Tell whether somebody else than who asked for this job waits for one."""
    return Job.objects.filter(state=JobState.WAITING).exclude(asked_by=job.asked_by_id).exists()
