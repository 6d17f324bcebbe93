"""The fate of orders and numbers once they left: sent, taken back, in for repair. Entries stay for good."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError, ShopOwned
from .orders import Order
from .parcels import Parcel
from .pieces import Piece


class OrderEventKind(models.TextChoices):
    SENT = "sent", _("sent")
    TAKEN_BACK = "taken back", _("“sent” taken back")
    REPAIR = "repair", _("came back for repair")
    REPAIRED = "repaired", _("went back to its holder")
    RETURNED = "returned", _("came back for good")


KINDS_WITH_REASON = (OrderEventKind.TAKEN_BACK, OrderEventKind.REPAIR, OrderEventKind.RETURNED)
"""Undoing what was final, and a tool that comes back, are asked about later: why is written down at once."""


class OrderEventQuerySet(models.QuerySet["OrderEvent"]):
    """Entries; none is ever changed or deleted."""

    def update(self, **kwargs: Any) -> int:
        raise ImmutableRowError("An entry of the history is never changed.")

    def delete(self) -> Any:
        raise ImmutableRowError("An entry of the history is never deleted.")


class OrderEvent(ShopOwned):
    """One line of the history: who did what, when and why; of a whole order, or of one piece that it holds."""

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="events", verbose_name=_("order"))
    piece = models.ForeignKey(
        Piece, on_delete=models.PROTECT, null=True, blank=True, related_name="events", verbose_name=_("piece")
    )
    parcel = models.ForeignKey(
        Parcel,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="events",
        verbose_name=_("parcel"),
        help_text=_("Empty where it concerns no one parcel, or happened before parcels were told apart."),
    )
    kind = models.CharField(_("what happened"), max_length=10, choices=OrderEventKind.choices)
    why = models.CharField(_("why"), max_length=200, blank=True)
    at = models.DateTimeField(_("when"), default=timezone.now)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("by"),
    )

    objects = OrderEventQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]
        verbose_name = _("line of what happened")
        verbose_name_plural = _("what happened")
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(kind__in=[str(kind) for kind in KINDS_WITH_REASON]) | ~models.Q(why=""),
                name="taken_back_with_a_reason",
                violation_error_message=_("What is taken back or comes back has a reason."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.order_id}, {self.piece or '–'}: {self.get_kind_display()}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("An entry of the history is never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("An entry of the history is never deleted.")
