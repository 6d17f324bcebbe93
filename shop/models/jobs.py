"""Work to be done: jobs, the rows that are the queue."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import ShopOwned
from .orders import Order


class JobKind(models.TextChoices):
    PLAN = "plan", _("plan the box")
    PAPERS = "papers", _("make the papers")


class JobState(models.TextChoices):
    WAITING = "waiting", _("waiting")
    RUNNING = "running", _("running")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")
    CANCELLED = "cancelled", _("cancelled")


class Job(ShopOwned):
    """Work to be done. The queue only carries notices: this row is the truth, and a lease on it the claim."""

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="jobs", verbose_name=_("order"))
    kind = models.CharField(_("kind"), max_length=10, choices=JobKind.choices)
    payload = models.JSONField(_("asked for"), default=dict, blank=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("asked by"),
        help_text=_("People take turns; empty where nobody was logged in."),
    )
    state = models.CharField(_("state"), max_length=9, choices=JobState.choices, default=JobState.WAITING)
    attempts = models.PositiveIntegerField(_("attempts"), default=0)
    max_attempts = models.PositiveIntegerField(_("attempts at most"), default=3)
    lease_owner = models.CharField(_("claimed by"), max_length=120, blank=True)
    lease_until = models.DateTimeField(_("claimed until"), null=True, blank=True)
    progress = models.JSONField(_("progress"), default=dict, blank=True)
    error = models.TextField(_("error"), blank=True)
    created_at = models.DateTimeField(_("asked at"), auto_now_add=True)
    started_at = models.DateTimeField(_("started at"), null=True, blank=True)
    finished_at = models.DateTimeField(_("finished at"), null=True, blank=True)

    class Meta:
        ordering = ["-created_at", "-pk"]
        indexes = [models.Index(fields=["state", "lease_until"])]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.order_id}: {self.get_state_display()}"

    @property
    def is_over(self) -> bool:
        return self.state in (JobState.DONE, JobState.FAILED, JobState.CANCELLED)
