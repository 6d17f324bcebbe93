"""Readings of the scale under closed boxes, and what was decided where they were off. Entries stay for good."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError, ShopOwned
from .parcels import Parcel
from .plans import BoxPlan

MOST_TOLD = 1000
"""Characters of what a screen said: a few sentences."""


class WeighVerdict(models.TextChoices):
    FITS = "fits", _("as expected")
    STOPPED = "stopped", _("stopped: the box is not closed")
    DECIDED = "decided", _("taken all the same")


class WeighInQuerySet(models.QuerySet["WeighIn"]):
    """Readings; none is ever changed or deleted."""

    def update(self, **kwargs: Any) -> int:
        raise ImmutableRowError("A reading of the scale is never changed: weigh the box again.")

    def delete(self) -> Any:
        raise ImmutableRowError("A reading of the scale is never deleted.")


def _grams(label: Any) -> models.DecimalField[Any, Any]:
    return models.DecimalField(label, max_digits=15, decimal_places=9, validators=[MinValueValidator(Decimal("0"))])


def _mm(label: Any) -> models.DecimalField[Any, Any]:
    return models.DecimalField(
        label, max_digits=9, decimal_places=3, null=True, blank=True, validators=[MinValueValidator(Decimal("1"))]
    )


class WeighIn(ShopOwned):
    """One reading of a closed box, held against what its plan says; its outside as taped, where that was measured."""

    parent_field = "parcel"

    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="weigh_ins", verbose_name=_("parcel"))
    plan = models.ForeignKey(BoxPlan, on_delete=models.PROTECT, related_name="+", verbose_name=_("box plan"))
    reading_g = _grams(_("reading, g"))
    expected_g = _grams(_("expected, g"))
    tolerance_g = _grams(_("tolerance, g"))
    verdict = models.CharField(_("verdict"), max_length=7, choices=WeighVerdict.choices)
    told = models.TextField(_("told"), max_length=MOST_TOLD, blank=True)
    why = models.CharField(_("why it was taken"), max_length=200, blank=True)
    length_mm, width_mm, height_mm = _mm(_("taped length")), _mm(_("taped width")), _mm(_("taped height"))
    at = models.DateTimeField(_("when"), default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    objects = WeighInQuerySet.as_manager()

    class Meta:
        verbose_name = _("reading of a closed box")
        verbose_name_plural = _("readings of closed boxes")
        ordering = ["parcel", "at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(verdict="decided") | ~models.Q(why=""),
                name="taken_all_the_same_with_a_reason",
                violation_error_message=_("A reading that is off is taken with a reason."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.parcel_id}: {self.reading_g} g"

    @property
    def taped_mm(self) -> tuple[Decimal, Decimal, Decimal] | None:
        """The outside as measured on the closed box; None where it was not."""
        if self.length_mm is None or self.width_mm is None or self.height_mm is None:
            return None
        return self.length_mm, self.width_mm, self.height_mm

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("A reading of the scale is never changed: weigh the box again.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("A reading of the scale is never deleted.")
