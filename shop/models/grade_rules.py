"""The shop's rules for board grades."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, EvidenceLevel, ShopOwned
from .stock import Wall


class GradeKind(models.TextChoices):
    POSTAL = "postal", _("postal box grade")
    DENSE_BOARD = "dense board", _("board for dense contents")
    HIGH_DENSITY = "high density", _("high density, smallest side")
    FREIGHT = "freight", _("freight, weight and size")
    DAYS = "days", _("stacking: strength left after days")
    HUMIDITY = "humidity", _("stacking: strength left in damp air")


def _figure(label: object, **kwargs: object) -> models.PositiveIntegerField[int | None, int | None]:
    return models.PositiveIntegerField(label, null=True, blank=True, **kwargs)  # type: ignore[arg-type]


class GradeRule(ShopOwned):
    """One line of a published rule for board grades. What a kind of line has no use for stays empty."""

    kind = models.CharField(_("rule"), max_length=12, choices=GradeKind.choices)
    wall = models.CharField(_("wall"), max_length=6, choices=Wall.choices, blank=True, help_text=_("Freight."))
    easy_lb = _figure(_("easy load, lb at most"), help_text=_("Postal; empty: the grade is not for easy loads."))
    weight_lb = _figure(
        _("weight, lb at most"),
        help_text=_("Postal: of a difficult load. High density: the weight above which the limit holds."),
    )
    size_in = _figure(
        _("size, in at most"),
        help_text=_("Postal: length and girth. Freight: length, width and depth together, outside."),
    )
    burst_psi = _figure(_("burst, psi at least"))
    facings_lb = _figure(_("facings, lb for 1000 ft² at least"), help_text=_("Freight."))
    ect_lb_in = _figure(_("edge crush, lb/in at least"), help_text=_("Freight."))
    limit_lb_ft2 = _figure(_("lb on a square foot at most"), help_text=_("High density."))
    up_to = _figure(_("up to, days or % of humidity"), help_text=_("Stacking."))
    factor = models.DecimalField(
        _("part of the strength left"),
        max_digits=5,
        decimal_places=3,
        null=True,
        blank=True,
        help_text=_("Stacking: above 0, at most 1."),
    )
    source = models.TextField(_("where it was read"), max_length=MOST_NOTES)
    year = models.CharField(_("year of the values"), max_length=80)
    sureness = models.CharField(
        _("how sure"), max_length=9, choices=EvidenceLevel.choices, default=EvidenceLevel.MEMORY
    )

    class Meta:
        verbose_name = _("rule for board grades")
        verbose_name_plural = _("rules for board grades")
        ordering = ["kind", "wall", "burst_psi", "weight_lb", "up_to", "pk"]

    def __str__(self) -> str:
        return ": ".join(str(part) for part in (self.get_kind_display(), self.holds_for) if part)

    @property
    def place(self) -> tuple[int, int]:
        """The place of the line in a list: rule by rule, single wall before double."""
        walls = ["", *Wall.values]
        return GradeKind.values.index(self.kind), walls.index(self.wall)

    @property
    def holds_for(self) -> str:
        """The range of the line, in words: weights and sizes in the rule's own units."""
        kind, values = self.kind, {"lb": self.weight_lb, "easy": self.easy_lb, "size": self.size_in, "to": self.up_to}
        if kind == GradeKind.POSTAL:
            loads = [
                text % values
                for text, value in (
                    (_("easy load to %(easy)s lb"), self.easy_lb),
                    (_("difficult load to %(lb)s lb"), self.weight_lb),
                )
                if value is not None
            ]
            return ", ".join([*loads, _("length and girth to %(size)s in") % values])
        if kind == GradeKind.FREIGHT:
            return _("%(wall)s to %(lb)s lb and %(size)s in of length, width and depth together") % {
                **values,
                "wall": self.get_wall_display(),
            }
        words = {
            "dense board": _("up to %(lb)s lb"),
            "high density": _("above %(lb)s lb"),
            "days": _("up to %(to)s days under load"),
            "humidity": _("up to %(to)s %% relative humidity"),
        }
        return str(words[kind] % values) if kind in words else ""

    @property
    def asks_for(self) -> str:
        """The demand of the line on the board or the box, in words."""
        if self.kind == GradeKind.HIGH_DENSITY:
            return _("at most %(limit)s lb on a square foot of the smallest side") % {"limit": self.limit_lb_ft2}
        if self.kind in (GradeKind.DAYS, GradeKind.HUMIDITY):
            return _("%(percent)s %% of the strength is left") % {
                "percent": f"{(100 * (self.factor or Decimal(0))).normalize():f}"
            }
        if self.kind == GradeKind.FREIGHT:
            return _("%(burst)s psi with %(facings)s lb facings, or ECT %(ect)s lb/in") % {
                "burst": self.burst_psi,
                "facings": self.facings_lb,
                "ect": self.ect_lb_in,
            }
        return _("burst %(burst)s psi") % {"burst": self.burst_psi}
