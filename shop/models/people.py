"""People who work in the shop, and its customers."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from zoneinfo import available_timezones

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.countries import country_name, known_country

from .base import (
    MOST_ADDRESS,
    MOST_NOTES,
    BilledUnit,
    EvidenceLevel,
    LengthUnit,
    PaperSize,
    ShopOwned,
    WeightUnit,
    check_address_lines,
)

CURRENCY = RegexValidator(r"^[A-Z]{3}$", _("A currency is three capital letters, such as EUR."))
COUNTRY = RegexValidator(r"^[A-Z]{2}$", _("A country is two capital letters, such as SE."))
"""Two letters are what carriers' forms ask for; the name is looked up when it is shown."""


def default_plan_rules() -> dict[str, object]:
    """Give the rules a new shop starts with; pads and webs, and what one person lifts, are common practice.

    Returns
    -------
    dict
        Planning rules as a shop keeps them, in mm and g.
    """
    return {
        "clearance": 1.5,
        "layer_pad": 12,
        "top_pad": 25,
        "layer_spare": 6,
        "sheets": [12, 25, 50],
        "bite": 1.5,
        "thin": [3, 6],
        # What one person lifts; local rules may allow less.
        "max_gross_g": 20000,
        "step": "1 mm",
        "by_head": [
            {"to_g": 1000, "web": 25, "wall": 25, "base_pad": 25},
            {"to_g": 3000, "web": 40, "wall": 40, "base_pad": 37},
            {"to_g": None, "web": 50, "wall": 50, "base_pad": 50},
        ],
    }


def inch_plan_rules() -> dict[str, object]:
    """Give the rules that a new shop starts with where it measures in inches.

    Returns
    -------
    dict
        As `default_plan_rules` has them, in mm and g, with sheets, pads and webs as stock is sold by the inch.
    """
    return {
        **default_plan_rules(),
        "layer_pad": 12.7,
        "top_pad": 25.4,
        "layer_spare": 6.35,
        "sheets": [12.7, 25.4, 50.8],
        # An order file knows hundredths of a millimetre: 1/8 in is 3.175 mm.
        "thin": [3.18, 6.35],
        "step": "1/16 in",
        "by_head": [
            {"to_g": 1000, "web": 25.4, "wall": 25.4, "base_pad": 25.4},
            {"to_g": 3000, "web": 41.28, "wall": 41.28, "base_pad": 38.1},
            {"to_g": None, "web": 50.8, "wall": 50.8, "base_pad": 50.8},
        ],
    }


def known_timezone(name: str) -> None:
    """Raise ValidationError unless the zone is one of the tz database's names."""
    if name not in available_timezones():
        raise ValidationError(_("%(name)s is not a time zone, such as Europe/Stockholm."), params={"name": name})


def _refuse_no_country(code: str) -> None:
    try:
        known_country(code)
    except ValidationError as fault:
        raise ValidationError({"country": fault}) from fault


class User(AbstractUser):
    """A person who logs in. Units left empty follow the shop's."""

    length_unit = models.CharField(_("lengths in"), max_length=2, choices=LengthUnit.choices, blank=True)
    weight_unit = models.CharField(_("weights in"), max_length=2, choices=WeightUnit.choices, blank=True)

    class Meta(AbstractUser.Meta):
        verbose_name = _("person")  # type: ignore[assignment]
        verbose_name_plural = _("people")  # type: ignore[assignment]

    @property
    def owned_shop_id(self) -> int | None:
        """The shop that this person owns, asked anew each time; None for everyone else, whatever else is set."""
        if not self.is_active or self.pk is None:
            return None
        member = Membership.objects.filter(user=self.pk).order_by("pk").first()
        return member.shop_id if member is not None and member.role == Role.OWNER else None

    def has_perm(self, perm: str, obj: Any = None) -> bool:
        """Tell whether Django's admin may do a thing for this person: the owner's membership alone decides."""
        return self.owned_shop_id is not None

    def has_module_perms(self, app_label: str) -> bool:
        return self.owned_shop_id is not None


SCALE_STEPS = [MinValueValidator(Decimal("0.01")), MaxValueValidator(1000)]


class Shop(models.Model):
    """The forge: its address, its units and the rules its boxes are planned by."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    address = models.TextField(
        _("address"),
        max_length=MOST_ADDRESS,
        blank=True,
        validators=[check_address_lines],
        help_text=_("One line of the address on each line."),
    )
    country = models.CharField(_("country"), max_length=2, validators=[COUNTRY], default="SE")
    timezone = models.CharField(_("time zone"), max_length=64, default="Europe/Stockholm", validators=[known_timezone])
    currency = models.CharField(_("currency"), max_length=3, validators=[CURRENCY], default="EUR")
    length_unit = models.CharField(_("lengths in"), max_length=2, choices=LengthUnit.choices, default=LengthUnit.MM)
    weight_unit = models.CharField(_("weights in"), max_length=2, choices=WeightUnit.choices, default=WeightUnit.GRAM)
    paper = models.CharField(_("paper"), max_length=6, choices=PaperSize.choices, default=PaperSize.A4)
    plan_rules = models.JSONField(_("planning rules"), default=default_plan_rules)
    foam_name = models.CharField(_("foam"), max_length=60, default="PE foam")
    foam_density_kg_m3 = models.DecimalField(
        _("foam density, kg/m³"),
        max_digits=6,
        decimal_places=2,
        default=Decimal("27"),
        validators=[MinValueValidator(Decimal("5")), MaxValueValidator(Decimal("300"))],
    )
    foam_fit_mm = models.DecimalField(
        _("room cut around a part on each side, mm"),
        max_digits=4,
        decimal_places=2,
        default=Decimal("0"),
        help_text=_("0: snug, for soft foam."),
        validators=[MinValueValidator(Decimal("0")), MaxValueValidator(Decimal("10"))],
    )
    foam_least_kpa = models.DecimalField(
        _("pressure that the foam is meant for, from, kPa"),
        max_digits=6,
        decimal_places=2,
        null=True,
        blank=True,
        default=Decimal("2.76"),
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    foam_most_kpa = models.DecimalField(
        _("pressure that the foam is meant for, to, kPa"),
        max_digits=6,
        decimal_places=2,
        null=True,
        blank=True,
        default=Decimal("8.27"),
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    foam_snug_mm = models.DecimalField(
        _("room cut around an outline on each side, mm"),
        max_digits=4,
        decimal_places=2,
        default=Decimal("-0.5"),
        help_text=_("Below 0: soft foam holds the part. Wood has to let it in: some 1.5."),
        validators=[MinValueValidator(Decimal("-3")), MaxValueValidator(Decimal("10"))],
    )
    foam_curve = models.JSONField(_("the maker's cushion curve"), default=list, blank=True)
    foam_source = models.TextField(
        _("where the foam's values come from"),
        max_length=MOST_NOTES,
        blank=True,
        default="density and pressures from memory, snugness common practice: the maker's curve decides",
    )
    foam_sureness = models.CharField(
        _("how sure the foam's values are"), max_length=9, choices=EvidenceLevel.choices, default=EvidenceLevel.MEMORY
    )
    board = models.CharField(
        _("board"), max_length=60, blank=True, help_text=_("Empty: the usual board for the weight.")
    )
    hour_price = models.DecimalField(
        _("an hour of work costs"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("In the shop's currency. Empty: not known, and said so."),
    )
    fastener_price = models.DecimalField(
        _("a screw or nail costs"),
        max_digits=10,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("In the shop's currency. Empty: not known, and said so."),
    )
    foam_price_m3 = models.DecimalField(
        _("a cubic metre of foam costs"),
        max_digits=12,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("In the shop's currency. Empty: not known, and said so."),
    )
    printed_bar_mm = models.DecimalField(
        _("a bar of 100 mm measures on our prints, mm"),
        max_digits=5,
        decimal_places=2,
        default=Decimal("100"),
        validators=[MinValueValidator(Decimal("90")), MaxValueValidator(Decimal("110"))],
        help_text=_("What the printer is out by is taken out of rods and templates. 100: it prints true."),
    )
    billed_price = models.DecimalField(
        _("a pound or kilogram of billed weight is worth"),
        max_digits=10,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("In the shop's currency. Empty: boxes are chosen by the bill alone."),
    )
    billed_price_unit = models.CharField(
        _("that is by the"), max_length=2, choices=BilledUnit.choices, default=BilledUnit.KILOGRAM
    )
    billed_minutes = models.DecimalField(
        _("minutes of work that a pound or kilogram of billed weight is worth"),
        max_digits=6,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
        help_text=_("Counts where billed weight or an hour has no price. Empty: the bill alone."),
    )
    scale_step_g = models.DecimalField(
        _("step of the scale for closed boxes, g"), max_digits=7, decimal_places=3, default=5, validators=SCALE_STEPS
    )
    keep_days = models.PositiveIntegerField(
        _("days that old boxes and papers are kept at hand"),
        default=365,
        validators=[MinValueValidator(7), MaxValueValidator(36500)],
        help_text=_("After that, boxes offered with old plans and papers out of date are put away. They come back."),
    )
    feet = models.BooleanField(
        _("feet under wooden boxes"),
        default=False,
        help_text=_(
            "Two under boxes of boards and of plywood, so that fingers go under them; the box is higher by them."
        ),
    )
    rope_handles = models.BooleanField(
        _("rope handles on wooden boxes"),
        default=False,
        help_text=_("Two on boxes of boards and of plywood; a carrier may charge handling for them."),
    )
    priced_by = models.ForeignKey(
        "shop.RateRule",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("boxes are chosen by the bill of"),
        help_text=_("The least billed weight, then the least work, marked cheeks up, the least volume."),
    )
    priced_abroad_by = models.ForeignKey(
        "shop.RateRule",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("boxes that go abroad are chosen by the bill of"),
        help_text=_("Empty: by the bill of the same service where it goes there, else by size."),
    )
    is_demo = models.BooleanField(_("invented for demonstration"), default=False)

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        for name in ("priced_by", "priced_abroad_by"):
            rule = getattr(self, name)
            if rule is not None and rule.shop_id != self.pk:
                raise ValidationError({name: _("A shop is priced by a rule of its own.")})

    @property
    def address_lines(self) -> list[str]:
        return [line for line in self.address.splitlines() if line.strip()]


class Role(models.TextChoices):
    OWNER = "owner", _("owner")
    PACKER = "packer", _("packer")
    BOOKKEEPER = "bookkeeper", _("bookkeeper")


class Membership(ShopOwned):
    """One person's role in one shop."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="memberships", verbose_name=_("user"))
    role = models.CharField(_("role"), max_length=10, choices=Role.choices)

    class Meta:
        verbose_name = _("person’s role")
        verbose_name_plural = _("who works here")
        constraints = [models.UniqueConstraint(fields=["shop", "user"], name="membership_once_per_shop")]

    def __str__(self) -> str:
        return f"{self.user} ({self.get_role_display()})"


class Customer(ShopOwned):
    """A customer: the one the box goes to."""

    name = models.CharField(_("name"), max_length=120)
    address = models.TextField(
        _("address"),
        max_length=MOST_ADDRESS,
        blank=True,
        validators=[check_address_lines],
        help_text=_("One line of the address on each line."),
    )
    country = models.CharField(_("country"), max_length=2, validators=[COUNTRY])
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    length_unit = models.CharField(_("lengths in"), max_length=2, choices=LengthUnit.choices, default=LengthUnit.MM)
    weight_unit = models.CharField(_("weights in"), max_length=2, choices=WeightUnit.choices, default=WeightUnit.GRAM)

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        super().clean()
        _refuse_no_country(self.country)

    @property
    def address_lines(self) -> list[str]:
        return [line for line in self.address.splitlines() if line.strip()]

    @property
    def country_name(self) -> str:
        """The country as it stands on a letter."""
        return country_name(self.country)


class FirstOwnerLink(models.Model):
    """The one-time link by which the first owner gets in. Only the token's hash is kept."""

    token_sha256 = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField(null=True, blank=True)
    anew = models.BooleanField(default=False)
    """Made by whoever runs the machine, for one more owner though there is one."""

    class Meta:
        verbose_name = _("link for the first owner")
        verbose_name_plural = _("links for the first owner")

    def __str__(self) -> str:
        return f"{self.created_at:%Y-%m-%d %H:%M}"


class LoginTries(models.Model):
    """Tries of one name from one address, or of one address, to log in of late; kept by all processes."""

    key = models.CharField(max_length=64, unique=True)
    tries = models.PositiveIntegerField(default=1)
    since = models.DateTimeField(db_index=True)

    class Meta:
        verbose_name = _("tries to log in")
        verbose_name_plural = _("tries to log in")

    def __str__(self) -> str:
        return f"{self.tries}, {self.since:%Y-%m-%d %H:%M}"
