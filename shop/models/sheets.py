"""Sheets, panels, bars and offcuts in stock by the piece, and what orders have taken of them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError, ShopOwned
from .orders import Order
from .plans import BoxPlan
from .stock import CUT_BY, LASER, NOT_NEGATIVE, Sourced, mm_column, price_column


class SheetRow(Sourced, ShopOwned):
    """Pieces of one material, thickness and size: what there is to cut from."""

    label = models.CharField(
        _("written on it"), max_length=30, blank=True, help_text=_("An offcut’s number; empty for whole sheets.")
    )
    material = models.CharField(
        _("material"),
        max_length=80,
        help_text=_("As the settings name the foam, the board or the wood: plans look for it by this name."),
    )
    nominal_mm = mm_column(_("sold as, mm thick"))
    thickness_mm = mm_column(_("measured thickness, mm"))
    tolerance_mm = mm_column(_("too thin by at most, mm"), least=NOT_NEGATIVE, default=Decimal("0.5"))
    length_mm = mm_column(_("length, the way of grain or flutes, mm"))
    width_mm = mm_column(_("width, mm"))
    trim_mm = mm_column(_("trim of each edge, mm"), least=NOT_NEGATIVE, default=Decimal("0"))
    kerf_mm = mm_column(_("a cut takes, mm"), least=NOT_NEGATIVE, default=Decimal("0"))
    cut_by = models.CharField(_("cut by"), max_length=40, default="knife", validators=[CUT_BY], help_text=LASER)
    turns = models.BooleanField(
        _("parts may be turned"), default=True, help_text=_("Not where grain, flutes or a face’s colour decide.")
    )
    count = models.PositiveIntegerField(_("pieces left"), default=1)
    price = price_column(
        _("price of one"),
        _("In the shop's currency; boxes and inserts are reckoned by its area. Empty: by the prices in the settings."),
    )
    offcut = models.BooleanField(_("offcut"), default=False)

    class Meta:
        verbose_name = _("stock sheet")
        verbose_name_plural = _("stock sheets")
        ordering = ["material", "nominal_mm", "-offcut", "-length_mm", "-width_mm", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["shop", "label"], condition=~models.Q(label=""), name="stock_label_once_per_shop"
            )
        ]

    def __str__(self) -> str:
        size = f"{self.length_mm.normalize():f} × {self.width_mm.normalize():f}"
        return f"{self.label or self.material} {self.nominal_mm.normalize():f} mm, {size} mm"

    def clean(self) -> None:
        super().clean()
        if None in (self.nominal_mm, self.thickness_mm, self.tolerance_mm):
            return
        if self.thickness_mm < self.nominal_mm - self.tolerance_mm:
            sentence = _("It is sold as %(nominal)s mm and measures %(measured)s mm: more than %(off)s mm too thin.")
            said = {"nominal": self.nominal_mm, "measured": self.thickness_mm, "off": self.tolerance_mm}
            raise ValidationError({"thickness_mm": ValidationError(sentence, params=said)})
        if None not in (self.length_mm, self.width_mm, self.trim_mm) and 2 * self.trim_mm >= min(
            self.length_mm, self.width_mm
        ):
            sentence = _("A trim of %(trim)s mm at each edge leaves nothing of the sheet.")
            raise ValidationError({"trim_mm": ValidationError(sentence, params={"trim": self.trim_mm})})


class CutTogether(ShopOwned):
    """Orders whose parts are cut from the same sheets, confirmed in one go and given back in one go."""

    at = models.DateTimeField(_("taken at"), default=timezone.now)

    class Meta:
        verbose_name = _("orders cut together")
        verbose_name_plural = _("orders cut together")
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d}, {', '.join(self.parcel_names)}"

    @property
    def parcel_names(self) -> tuple[str, ...]:
        """Its parcels by their orders' numbers: 17, or 17/2 where the order has several."""
        takings = self.takings.select_related("plan__order").order_by("order__number", "number")
        return tuple(taking.plan.parcel_name for taking in takings)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("What was taken from stock is given back, not deleted.")


class StockTaking(ShopOwned):
    """The sheets that one parcel of an order took from stock, once; given back they stay on record.

    Of orders that are cut together the moves are the first one's.
    """

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="takings", verbose_name=_("order"))
    plan = models.ForeignKey(BoxPlan, on_delete=models.PROTECT, related_name="takings", verbose_name=_("box plan"))
    together = models.ForeignKey(
        CutTogether,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="takings",
        verbose_name=_("cut together with others"),
    )
    number = models.PositiveIntegerField(_("parcel"), default=1, validators=[MinValueValidator(1)])
    rows = models.JSONField(_("stock as it was"), default=list)
    taken_at = models.DateTimeField(_("taken at"), default=timezone.now)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    given_back_at = models.DateTimeField(_("given back at"), null=True, blank=True)
    given_back_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = _("stock taken")
        verbose_name_plural = _("stock taken")
        ordering = ["order", "-taken_at"]
        constraints = [
            models.UniqueConstraint(
                # The last word on two people who take the same parcel's stock at once.
                fields=["order", "number"],
                condition=models.Q(given_back_at__isnull=True),
                name="stock_taken_once_per_parcel",
            )
        ]

    def __str__(self) -> str:
        return f"{self.order_id}, {self.taken_at:%Y-%m-%d}"

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("What was taken from stock is given back, not deleted.")


class StockMove(ShopOwned):
    """So many pieces of a row more or fewer, by one taking. Entries stay for good."""

    parent_field = "taking"

    taking = models.ForeignKey(StockTaking, on_delete=models.PROTECT, related_name="moves", verbose_name=_("taking"))
    sheet = models.ForeignKey(SheetRow, on_delete=models.PROTECT, related_name="moves", verbose_name=_("stock sheet"))
    change = models.IntegerField(_("pieces"))
    at = models.DateTimeField(_("when"), default=timezone.now)

    class Meta:
        verbose_name = _("stock moved")
        verbose_name_plural = _("stock moved")
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.change:+d} {self.sheet}"

    @property
    def taken(self) -> int:
        """The pieces that became fewer."""
        return -self.change

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("A move of stock is never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("A move of stock is never deleted.")
