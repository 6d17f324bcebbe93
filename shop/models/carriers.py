"""Carriers' rules as dated rows, and the cartons in stock."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from django.core.validators import MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, EvidenceLevel, ShopOwned
from .people import CURRENCY

ABOVE_ZERO = MinValueValidator(Decimal("0.001"))


class RateSystem(models.TextChoices):
    IN_LB = "in/lb", _("inches and pounds")
    CM_KG = "cm/kg", _("centimetres and kilograms")


class SideRounding(models.TextChoices):
    NEAREST = "nearest", _("to the nearest whole")
    UP = "up", _("up to the next whole")
    DOWN = "down", _("down to the whole")
    NONE = "none", _("not rounded")


class Reach(models.TextChoices):
    ANYWHERE = "anywhere", _("anywhere")
    HOME = "home", _("within the country it is sent from")
    ABROAD = "abroad", _("to other countries")


COUNTRIES = RegexValidator(
    r"^[A-Z]{2}(, [A-Z]{2})*$", _("Countries are two capital letters each, with a comma and a space between: “DE, FR”.")
)


def _countries(label: object, help_text: object) -> models.CharField[str, str]:
    return models.CharField(label, max_length=200, blank=True, validators=[COUNTRIES], help_text=help_text)  # type: ignore[arg-type]


class RateRuleQuerySet(models.QuerySet["RateRule"]):
    """Carrier rules."""

    def valid_on(self, day: dt.date) -> RateRuleQuerySet:
        """Rules in force on a day, first and last day included."""
        open_ended = models.Q(valid_to__isnull=True) | models.Q(valid_to__gte=day)
        return self.filter(open_ended, valid_from__lte=day)


def _measure(label: object) -> models.DecimalField[Decimal | None, Decimal | None]:
    return models.DecimalField(label, max_digits=12, decimal_places=3, null=True, blank=True, validators=[ABOVE_ZERO])  # type: ignore[arg-type]


class RateRule(ShopOwned):
    """One service's size, weight and rounding rules between two dates, in the carrier's own units."""

    carrier = models.CharField(_("carrier"), max_length=60)
    service = models.CharField(_("service"), max_length=80)
    valid_from = models.DateField(_("valid from"))
    valid_to = models.DateField(_("valid to"), null=True, blank=True)
    system = models.CharField(_("units"), max_length=5, choices=RateSystem.choices)
    divisor = _measure(_("divisor"))
    side_rounding = models.CharField(
        _("sides rounded"), max_length=7, choices=SideRounding.choices, default=SideRounding.NEAREST
    )
    weight_step = models.DecimalField(
        _("weight rounded up to a multiple of"),
        max_digits=8,
        decimal_places=4,
        default=Decimal("1"),
        validators=[ABOVE_ZERO],
    )
    dim_threshold = models.DecimalField(
        _("dimensional weight counts above this volume"),
        max_digits=12,
        decimal_places=3,
        default=Decimal("0"),
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("In cubic units of the sides; strictly greater. 0: always."),
    )
    min_billable = _measure(_("least billed weight"))
    max_weight = _measure(_("weight at most"))
    max_length = _measure(_("longest side at most"))
    max_length_girth = _measure(_("length and girth together at most"))
    reach = models.CharField(_("goes"), max_length=8, choices=Reach.choices, default=Reach.ANYWHERE)
    sent_from = _countries(_("sent from"), _("Countries where it takes parcels in, such as US. Empty: any."))
    only_to = _countries(_("only to"), _("Countries to which alone it goes, such as DE, FR. Empty: any."))
    triggers = models.JSONField(
        _("surcharge triggers"),
        default=list,
        blank=True,
        help_text=_("A list of objects: name, measure, above; further consequence, minimum_billed, overrides, sides."),
    )
    source = models.TextField(_("source"), max_length=MOST_NOTES, blank=True)
    sureness = models.CharField(
        _("how sure"), max_length=9, choices=EvidenceLevel.choices, default=EvidenceLevel.MEMORY
    )
    as_of = models.DateField(_("as of"), null=True, blank=True)
    note = models.TextField(_("note"), max_length=MOST_NOTES, blank=True)

    objects = RateRuleQuerySet.as_manager()

    class Meta:
        verbose_name = _("carrier’s rule")
        verbose_name_plural = _("carriers’ rules")
        ordering = ["carrier", "service", "-valid_from"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "carrier", "service", "valid_from"], name="rule_once_per_day"),
            models.CheckConstraint(
                condition=models.Q(valid_to__isnull=True) | models.Q(valid_to__gte=models.F("valid_from")),
                name="rule_ends_after_it_begins",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.carrier} {self.service}, {self.valid_from}"


class PriceTable(ShopOwned):
    """One service's prices between two dates, as a file of prices says them."""

    carrier = models.CharField(_("carrier"), max_length=60)
    service = models.CharField(_("service"), max_length=80)
    valid_from = models.DateField(_("valid from"))
    valid_to = models.DateField(_("valid to"), null=True, blank=True)
    currency = models.CharField(_("currency"), max_length=3, validators=[CURRENCY])
    rows = models.JSONField(_("prices, zones and surcharges"))
    source = models.TextField(_("source"), max_length=MOST_NOTES, blank=True)
    sureness = models.CharField(
        _("how sure"), max_length=9, choices=EvidenceLevel.choices, default=EvidenceLevel.MEMORY
    )
    as_of = models.DateField(_("as of"), null=True, blank=True)
    note = models.TextField(_("note"), max_length=MOST_NOTES, blank=True)

    class Meta:
        verbose_name = _("price table")
        verbose_name_plural = _("price tables")
        ordering = ["carrier", "service", "-valid_from"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "carrier", "service", "valid_from"], name="prices_once_per_day"),
            models.CheckConstraint(
                condition=models.Q(valid_to__isnull=True) | models.Q(valid_to__gte=models.F("valid_from")),
                name="prices_end_after_they_begin",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.carrier} {self.service}, {self.valid_from}"


class Carton(ShopOwned):
    """A stock carton as bought: inner size in mm, and how many there are."""

    name = models.CharField(_("name"), max_length=80)
    length = models.DecimalField(_("inner length, mm"), max_digits=8, decimal_places=2, validators=[ABOVE_ZERO])
    width = models.DecimalField(_("inner width, mm"), max_digits=8, decimal_places=2, validators=[ABOVE_ZERO])
    height = models.DecimalField(_("inner height, mm"), max_digits=8, decimal_places=2, validators=[ABOVE_ZERO])
    board = models.CharField(_("board"), max_length=60, blank=True)
    count = models.PositiveIntegerField(_("in stock"), default=0)
    price = models.DecimalField(
        _("price each"),
        max_digits=12,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
    )
    currency = models.CharField(_("currency"), max_length=3, blank=True, validators=[CURRENCY])

    class Meta:
        verbose_name = _("stock carton")
        verbose_name_plural = _("stock cartons")
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="carton_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name
