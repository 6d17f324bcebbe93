"""Consignments and their parcels: the boxes that an order leaves in, each packed, weighed in and sent by itself."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.text import capfirst
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from .base import ShopOwned
from .orders import Order, OrderState
from .plans import BoxPlan

ONE_GRAM = MinValueValidator(Decimal("1"))


class Consignment(ShopOwned):
    """The answer to what an order asks to have packed: its parcels, planned together."""

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="consignments", verbose_name=_("order"))
    created = models.DateTimeField(_("made at"), auto_now_add=True)

    class Meta:
        verbose_name = _("consignment")
        verbose_name_plural = _("consignments")
        ordering = ["-created", "-pk"]

    def __str__(self) -> str:
        return f"{self.order_id}/{self.pk}"


class ParcelState(models.TextChoices):
    PLANNED = "planned", _("planned")
    PACKED = "packed", _("packed")
    SENT = "sent", _("sent")


class Parcel(ShopOwned):
    """One box of a consignment: its plan says what goes in; its state, its weigh-in and its leaving are its own."""

    parent_field = "consignment"

    consignment = models.ForeignKey(
        Consignment, on_delete=models.PROTECT, related_name="parcels", verbose_name=_("consignment")
    )
    plan = models.ForeignKey(BoxPlan, on_delete=models.PROTECT, related_name="parcels", verbose_name=_("box plan"))
    number = models.PositiveIntegerField(_("parcel"), default=1, validators=[MinValueValidator(1)])
    state = models.CharField(_("state"), max_length=9, choices=ParcelState.choices, default=ParcelState.PLANNED)
    weighed_g = models.DecimalField(
        _("weigh-in, g"), max_digits=15, decimal_places=9, null=True, blank=True, validators=[ONE_GRAM]
    )
    weighed_at = models.DateTimeField(_("weighed at"), null=True, blank=True)
    weighed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    empty_g = models.DecimalField(
        _("empty box and insert as weighed, g"),
        max_digits=15,
        decimal_places=9,
        null=True,
        blank=True,
        validators=[ONE_GRAM],
    )
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        verbose_name = _("parcel")
        verbose_name_plural = _("parcels")
        ordering = ["consignment", "number"]
        constraints = [models.UniqueConstraint(fields=["consignment", "number"], name="parcel_once_per_consignment")]

    def __str__(self) -> str:
        return f"{self.consignment.order_id}/{self.number}"

    @property
    def order(self) -> Order:
        """The order that it is a parcel of."""
        return self.consignment.order

    @property
    def called(self) -> str:
        """The name people call it by, within a sentence: its order where that has no other parcel."""
        if self.plan.parcel_count == 1:
            return _now("order %(number)d") % {"number": self.order.number}
        named = {"number": self.order.number, "parcel": self.number}
        return _now("parcel %(parcel)d of order %(number)d") % named

    @property
    def title(self) -> str:
        """The same where a sentence begins with it."""
        return capfirst(self.called)


def state_from(parcels: Iterable[str]) -> OrderState:
    """The state of an order that is not cancelled, as it follows from the states of its parcels.

    Parameters
    ----------
    parcels
        The state of each; none before it is planned.

    Returns
    -------
    OrderState
        Packed where every box is closed and one is still here; partly packed where some are closed.
    """
    states = set(parcels)
    if not states:
        return OrderState.DRAFT
    if states == {ParcelState.SENT}:
        return OrderState.SENT
    if ParcelState.PLANNED not in states:
        return OrderState.PACKED
    return OrderState.PLANNED if states == {ParcelState.PLANNED} else OrderState.PACKING
