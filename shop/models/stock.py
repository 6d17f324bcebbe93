"""Stock of boxes and its cost: boards, wood, screws and nails, times of work, allowances for folding."""

from __future__ import annotations

from decimal import Decimal

from django.core.validators import MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, EvidenceLevel, ShopOwned

ABOVE_ZERO = MinValueValidator(Decimal("0.001"))
NOT_NEGATIVE = MinValueValidator(Decimal("0"))
CUT_BY = RegexValidator(
    r"^(knife|laser|saw|router|hot wire|band saw)(, (knife|laser|saw|router|hot wire|band saw))*$",
    _("How it is cut is one or more of knife, laser, saw, router, hot wire, band saw: “knife, laser”."),
)
LASER = _(
    "Knife, laser, saw, router, hot wire, band saw. Laser: attend it, extraction on, an extinguisher at hand; no PVC, "
    "no unknown foam. Hot wire: its fumes are not breathed."
)


def mm_column(
    label: object, *, least: MinValueValidator = ABOVE_ZERO, **kwargs: object
) -> models.DecimalField[Decimal, Decimal]:
    return models.DecimalField(label, max_digits=8, decimal_places=3, validators=[least], **kwargs)  # type: ignore[arg-type]


def price_column(
    label: object, help_text: object = _("In the shop's currency. Empty: not known, and said so.")
) -> models.DecimalField[Decimal | None, Decimal | None]:
    return models.DecimalField(
        label,  # type: ignore[arg-type]
        max_digits=12,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[NOT_NEGATIVE],
        help_text=help_text,  # type: ignore[arg-type]
    )


class Sourced(models.Model):
    """The part of a row that says where its values come from and how sure they are."""

    source = models.TextField(_("where the values come from"), max_length=MOST_NOTES, blank=True)
    sureness = models.CharField(
        _("how sure"),
        max_length=9,
        choices=EvidenceLevel.choices,
        blank=True,
        default="",
        help_text=_("Empty: not said, as where the shop has measured it itself."),
    )

    class Meta:
        abstract = True


class StockRow(Sourced, ShopOwned):
    """A kind of material the shop buys."""

    name = models.CharField(_("name"), max_length=80)
    in_stock = models.BooleanField(_("in stock"), default=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name


class Wall(models.TextChoices):
    SINGLE = "single", _("single wall")
    DOUBLE = "double", _("double wall")
    TRIPLE = "triple", _("triple wall")


class BoardRow(StockRow):
    """Corrugated board as bought; the grade is the bought sheet's."""

    flute = models.CharField(_("flute"), max_length=4)
    wall = models.CharField(_("wall"), max_length=6, choices=Wall.choices, default=Wall.SINGLE)
    grade = models.CharField(_("grade"), max_length=40)
    caliper_mm = mm_column(_("caliper, mm"))
    caliper_tolerance_mm = mm_column(_("caliper, mm off at most"), least=NOT_NEGATIVE, default=Decimal("0.3"))
    grammage_g_m2 = models.DecimalField(_("g/m²"), max_digits=7, decimal_places=1, validators=[ABOVE_ZERO])
    joint_mm = mm_column(_("joint flap, mm"), default=Decimal("35"))
    burst_psi = models.PositiveIntegerField(_("burst, psi"), default=0, help_text=_("0: not known."))
    facings_lb = models.PositiveIntegerField(_("facings, lb for 1000 ft²"), default=0, help_text=_("0: not known."))
    ect_lb_in = models.PositiveIntegerField(_("edge crush, lb/in"), default=0, help_text=_("0: not known."))
    sheet_across_mm = mm_column(_("sheet across the flutes, mm"), null=True, blank=True)
    sheet_along_mm = mm_column(_("sheet along the flutes, mm"), null=True, blank=True)
    price_m2 = price_column(_("price, m²"))
    cut_by = models.CharField(_("cut by"), max_length=40, default="knife", validators=[CUT_BY], help_text=LASER)

    class Meta:
        verbose_name = _("board")
        ordering = ["grammage_g_m2", "name"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "name"], name="board_name_once_per_shop"),
            models.CheckConstraint(
                condition=models.Q(sheet_across_mm__isnull=True, sheet_along_mm__isnull=True)
                | models.Q(sheet_across_mm__isnull=False, sheet_along_mm__isnull=False),
                name="board_sheet_has_two_sides",
                violation_error_message=_("A sheet has two sides: give both, or neither where any size is to be had."),
            ),
        ]


class WoodRow(StockRow):
    """Sawn boards or panels as bought, by actual size."""

    class Per(models.TextChoices):
        SQUARE_METRE = "m2", _("square metre")
        BOARD_FOOT = "board foot", _("board foot")

    processed = models.BooleanField(
        _("panel"),
        default=False,
        help_text=_("Plywood and other wood made with glue, heat and pressure; else raw wood."),
    )
    nominal = models.CharField(_("sold as"), max_length=20)
    thickness_mm = mm_column(_("thickness, mm"))
    thickness_tolerance_mm = mm_column(_("thickness, mm off at most"), least=NOT_NEGATIVE, default=Decimal("0.5"))
    width_mm = mm_column(_("width, mm"))
    length_mm = mm_column(_("length along the grain, mm"))
    density_kg_m3 = models.DecimalField(_("kg/m³"), max_digits=7, decimal_places=2, validators=[ABOVE_ZERO])
    kerf_mm = mm_column(_("saw cut, mm"), least=NOT_NEGATIVE, default=Decimal("3.2"))
    nominal_thickness_in = mm_column(_("nominal thickness, in"), null=True, blank=True)
    nominal_width_in = mm_column(_("nominal width, in"), null=True, blank=True)
    price = price_column(_("price"))
    per = models.CharField(_("for one"), max_length=10, choices=Per.choices, default=Per.SQUARE_METRE)
    cut_by = models.CharField(_("cut by"), max_length=40, default="saw", validators=[CUT_BY], help_text=LASER)

    class Meta:
        verbose_name = _("wood")
        verbose_name_plural = _("wood")
        ordering = ["processed", "thickness_mm", "width_mm", "name"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "name"], name="wood_name_once_per_shop"),
            models.CheckConstraint(
                condition=~models.Q(per="board foot")
                | models.Q(nominal_thickness_in__isnull=False, nominal_width_in__isnull=False),
                name="wood_by_the_foot_has_nominal_size",
                violation_error_message=_("Board feet go by nominal size: give nominal thickness and width in inches."),
            ),
        ]


class FastenerRow(StockRow):
    """Screws or nails."""

    class Kind(models.TextChoices):
        SCREW = "screw", _("screw")
        NAIL = "nail", _("nail")

    kind = models.CharField(_("kind"), max_length=5, choices=Kind.choices)
    diameter_mm = mm_column(_("shank, mm"))
    length_mm = mm_column(_("length under the head, mm"))
    each_g = models.DecimalField(_("weight of one, g"), max_digits=7, decimal_places=3, validators=[ABOVE_ZERO])

    class Meta:
        verbose_name = _("screw or nail")
        verbose_name_plural = _("screws and nails")
        ordering = ["-kind", "length_mm", "name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="fastener_name_once_per_shop")]


class LabourTime(ShopOwned):
    """The time of one of a kind of work."""

    what = models.CharField(_("kind of work"), max_length=40)
    minutes = models.DecimalField(_("minutes"), max_digits=7, decimal_places=2, validators=[NOT_NEGATIVE])
    source = models.TextField(_("where the values come from"), max_length=MOST_NOTES, blank=True)

    class Meta:
        verbose_name = _("time of work")
        verbose_name_plural = _("times of work")
        ordering = ["what"]
        constraints = [models.UniqueConstraint(fields=["shop", "what"], name="work_once_per_shop")]

    def __str__(self) -> str:
        return self.what


class AllowanceRow(ShopOwned):
    """The allowance that folding takes from a size, for one flute."""

    flute = models.CharField(_("flute"), max_length=4)
    caliper_mm = mm_column(_("caliper, mm"))
    panel_mm = mm_column(_("added from score to score, mm"), least=NOT_NEGATIVE)
    layer_mm = mm_column(_("added in height for each layer of flaps, mm"), least=NOT_NEGATIVE)
    source = models.TextField(_("where the values come from"), max_length=MOST_NOTES, blank=True)
    sureness = models.CharField(
        _("how sure"), max_length=9, choices=EvidenceLevel.choices, default=EvidenceLevel.MEMORY
    )

    class Meta:
        verbose_name = _("allowance for folding")
        verbose_name_plural = _("allowances for folding")
        ordering = ["caliper_mm", "flute"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "flute", "caliper_mm"], name="allowance_once_per_flute_and_caliper")
        ]

    def __str__(self) -> str:
        return f"{self.flute} {self.caliper_mm}"
