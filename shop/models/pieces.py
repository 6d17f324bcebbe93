"""Steel, series, products and the numbered pieces."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, ImmutableRowError, ShopOwned

CODE = RegexValidator(r"^[A-Z0-9][A-Z0-9.]*$", _("A code is capital letters, figures and dots, such as CH125."))
ZERO = MinValueValidator(Decimal("0"))
ABOVE_ZERO = MinValueValidator(Decimal("0.001"))

MEASURES = (
    "head_length",
    "head_height",
    "head_width",
    "eye_offset",
    "handle_length",
    "handle_width",
    "handle_thickness",
)
LEFT_OUT = ("eye_offset",)
"""Measures that need not be taken: the eye is in the middle of the head then."""


class Lot(ShopOwned):
    """Steel from one source; how much is left is an estimate."""

    name = models.CharField(_("name"), max_length=80)
    source = models.TextField(_("source"), max_length=MOST_NOTES, blank=True, help_text=_("Where the steel came from."))
    received_kg = models.DecimalField(_("received, kg"), max_digits=9, decimal_places=3, validators=[ZERO])
    left_kg = models.DecimalField(_("left, kg (estimate)"), max_digits=9, decimal_places=3, validators=[ZERO])
    received_on = models.DateField(_("received on"), null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="lot_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name


class Series(ShopOwned):
    """Pieces sold under one name from one lot; may be closed and reopened."""

    parent_field = "lot"

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="series", verbose_name=_("lot"))
    name = models.CharField(_("name"), max_length=80)
    opened_on = models.DateField(_("opened on"), null=True, blank=True)
    closed_on = models.DateField(_("closed on"), null=True, blank=True)
    reopened_on = models.DateField(_("reopened on"), null=True, blank=True)
    planned_pieces = models.PositiveIntegerField(
        _("planned length of the run"), null=True, blank=True, help_text=_("Pieces of all its products together.")
    )

    class Meta:
        ordering = ["name"]
        verbose_name_plural = _("series")
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="series_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name

    @property
    def is_open(self) -> bool:
        if self.closed_on is None:
            return True
        return self.reopened_on is not None and self.reopened_on >= self.closed_on


class Form(models.TextChoices):
    HAMMER = "hammer", _("hammer")
    AXE = "axe", _("axe")
    ADZE = "adze", _("adze")
    MALLET = "mallet", _("mallet")


class Sharp(models.TextChoices):
    NONE = "none", _("nothing")
    FAR = "far", _("the far end")
    BOTH = "both", _("both ends")


class HeadMaterial(models.TextChoices):
    STEEL = "steel", _("steel")
    WOOD = "wood", _("wood")


STANDING_FORMS = frozenset({Form.HAMMER, Form.MALLET})
"""Axes and adzes would stand on their poll with the edge up, towards the hand that opens the box."""


SHAPE_COLUMNS = ("peen", "taper", "eye_height", "beard", "neck", "belly", "reach_near", "reach_far")
"""Columns of a pattern's shape beyond its rectangles, in hundredths of each piece's own measures."""
_OF_A_CURVED = _("Of a curved handle, from the middle line of the eye; a straight one reaches 50 % to each side.")


def _share(name: Any, help_text: Any) -> models.DecimalField[Decimal | None, Decimal | None]:
    return models.DecimalField(
        name,
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(100)],
        help_text=help_text,
    )


class Pattern(ShopOwned):
    """The kind and shape of a tool. `may_stand` left empty follows the form: axes and adzes do not stand.

    At most four measures of its shape give each piece its outline; without any the measured rectangles stand.
    """

    name = models.CharField(_("name"), max_length=80)
    form = models.CharField(_("form"), max_length=6, choices=Form.choices)
    sharp = models.CharField(_("sharp"), max_length=4, choices=Sharp.choices, default=Sharp.NONE)
    may_stand = models.BooleanField(_("may stand on its face or poll"), null=True, blank=True)
    head_material = models.CharField(
        _("head of"),
        max_length=5,
        choices=HeadMaterial.choices,
        blank=True,
        help_text=_("Empty: wood for a mallet, steel for the rest."),
    )
    peen = _share(_("peen’s edge, % of the head’s height"), _("As thick as it is seen on the cheek."))
    taper = _share(_("taper from, % of the head’s length"), _("From the face to where the peen begins to taper."))
    eye_height = _share(_("eye’s height, % of the head’s height"), _("Of an axe, along the handle."))
    beard = _share(_("beard, % of the head’s height"), _("How far the edge reaches below the eye."))
    neck = _share(_("neck, % of the handle’s width"), _("Behind the head, where the handle is narrowest."))
    belly = _share(_("belly, % of the handle’s width"), _("In the middle of the handle; its swell is the whole width."))
    reach_near = _share(_("reach to face or poll, % of the handle’s width"), _OF_A_CURVED)
    reach_far = _share(_("reach to peen or edge, % of the handle’s width"), _OF_A_CURVED)
    traced = models.JSONField(_("traced outline"), null=True, blank=True, editable=False)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="pattern_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self.may_stand is None:
            self.may_stand = self.form in STANDING_FORMS
        if not self.head_material:
            self.head_material = HeadMaterial.WOOD if self.form == Form.MALLET else HeadMaterial.STEEL
        super().save(*args, **kwargs)


def _target_mm(label: Any) -> models.DecimalField[Any, Any]:
    """A measure that a product's pieces are meant to have; quotes need it before there is any piece."""
    return models.DecimalField(label, max_digits=12, decimal_places=7, null=True, blank=True, validators=[ABOVE_ZERO])


class Product(ShopOwned):
    """One pattern in one head weight of a series; its pieces are numbered from 1."""

    parent_field = "series"

    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="products", verbose_name=_("series"))
    pattern = models.ForeignKey(Pattern, on_delete=models.PROTECT, related_name="products", verbose_name=_("pattern"))
    code = models.CharField(_("code"), max_length=20, validators=[CODE])
    name = models.CharField(_("name"), max_length=80)
    head_weight_g = models.DecimalField(
        _("nominal head weight, g"),
        max_digits=15,
        decimal_places=9,
        validators=[MinValueValidator(Decimal("1"))],
    )
    target_head_length_mm = _target_mm(_("target: head length"))
    target_head_height_mm = _target_mm(_("target: head height"))
    target_head_width_mm = _target_mm(_("target: head width"))
    target_eye_offset_mm = _target_mm(_("target: eye offset"))
    target_handle_length_mm = _target_mm(_("target: handle length"))
    target_handle_width_mm = _target_mm(_("target: handle width"))
    target_handle_thickness_mm = _target_mm(_("target: handle thickness"))
    target_weight_g = models.DecimalField(
        _("target: weight"), max_digits=15, decimal_places=9, null=True, blank=True, validators=[ABOVE_ZERO]
    )

    class Meta:
        ordering = ["code"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "code"], name="product_code_once_per_shop"),
            models.UniqueConstraint(fields=["series", "pattern", "head_weight_g"], name="product_once_per_series"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class PieceState(models.TextChoices):
    RACK = "rack", _("on the rack")
    ALLOCATED = "allocated", _("held for an order")
    SENT = "sent", _("sent")
    REPAIR = "repair", _("in for repair")
    SCRAPPED = "scrapped", _("scrapped")
    MIS_STAMPED = "mis-stamped", _("mis-stamped")
    KEPT_BACK = "kept back", _("kept back")


STATES_WITH_REASON = (PieceState.SCRAPPED, PieceState.MIS_STAMPED, PieceState.KEPT_BACK)
"""A number that leaves the rack for good is asked about years later."""


class Mark(models.TextChoices):
    LEFT = "face_left", _("seen with the face on the left, handle down")
    RIGHT = "face_right", _("seen with the face on the right, handle down")
    NONE = "none", _("no marked cheek")


class PieceQuerySet(models.QuerySet["Piece"]):
    """Pieces; a number is never deleted."""

    def delete(self) -> Any:
        raise ImmutableRowError(
            "A number is never deleted: mark the piece scrapped, mis-stamped or kept back, with a reason."
        )

    def measured(self) -> PieceQuerySet:
        """Pieces with every measure a plan needs."""
        needed = {f"{name}__isnull": False for name in MEASURES if name not in LEFT_OUT}
        return self.filter(**needed, weight_g__isnull=False)


def _mm(label: Any) -> models.DecimalField[Any, Any]:
    return models.DecimalField(label, max_digits=12, decimal_places=7, null=True, blank=True)


class Piece(ShopOwned):
    """One finished tool: its own number as stamped, its own measures (mm), its own weight (g)."""

    parent_field = "product"

    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="pieces", verbose_name=_("product"))
    number = models.PositiveIntegerField(_("number as stamped"), validators=[MinValueValidator(1)])
    state = models.CharField(_("state"), max_length=11, choices=PieceState.choices, default=PieceState.RACK)
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    packed_name = models.CharField(
        _("name on the papers"), max_length=80, blank=True, help_text=_("Empty: the product's name.")
    )

    head_length = _mm(_("head length"))
    head_height = _mm(_("head height"))
    head_width = _mm(_("head width"))
    eye_offset = _mm(_("eye offset"))
    handle_length = _mm(_("handle length"))
    handle_width = _mm(_("handle width"))
    handle_thickness = _mm(_("handle thickness"))
    weight_g = models.DecimalField(_("weight, g"), max_digits=15, decimal_places=9, null=True, blank=True)
    head_weight_g = models.DecimalField(_("head weight, g"), max_digits=15, decimal_places=9, null=True, blank=True)
    measured_in = models.CharField(_("measured in"), max_length=4, blank=True)
    weighed_in = models.CharField(_("weighed in"), max_length=4, blank=True)
    typed = models.JSONField(_("measures as typed"), default=dict, blank=True)
    edge_guard_on = models.BooleanField(_("measured with its edge guard on"), default=False)
    mark = models.CharField(_("marked cheek"), max_length=10, choices=Mark.choices, default=Mark.NONE)
    confirmed = models.BooleanField(_("unusual measures confirmed"), default=False)
    measured_at = models.DateTimeField(_("measured at"), null=True, blank=True)
    weighed_at = models.DateTimeField(_("weighed at"), null=True, blank=True)

    objects = PieceQuerySet.as_manager()

    class Meta:
        ordering = ["product__code", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["product", "number"],
                name="number_once_per_product",
                violation_error_message=_("A number is never given twice in a product."),
            ),
            models.CheckConstraint(condition=models.Q(number__gte=1), name="numbers_from_one"),
            models.CheckConstraint(
                condition=~models.Q(state__in=[str(s) for s in STATES_WITH_REASON]) | ~models.Q(reason=""),
                name="out_of_stock_with_a_reason",
                violation_error_message=_("A piece scrapped, mis-stamped or kept back has a reason."),
            ),
        ]
        indexes = [models.Index(fields=["shop", "state"])]

    def __str__(self) -> str:
        return self.label

    @property
    def label(self) -> str:
        """The product's code and the number, three figures at least: CH125-007."""
        return f"{self.product.code}-{self.number:03d}"

    @property
    def name(self) -> str:
        return self.packed_name or self.product.name

    @property
    def is_measured(self) -> bool:
        return self.weight_g is not None and all(
            getattr(self, name) is not None for name in MEASURES if name not in LEFT_OUT
        )

    def clean(self) -> None:
        super().clean()
        if self.state in STATES_WITH_REASON and not self.reason.strip():
            raise ValidationError({"reason": _("Give the reason why the piece is %(state)s.") % {"state": self.state}})

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError(
            "A number is never deleted: mark the piece scrapped, mis-stamped or kept back, with a reason."
        )


class Reading(ShopOwned):
    """One hardness figure of a piece."""

    parent_field = "piece"

    class When(models.TextChoices):
        BEFORE = "before", _("before tempering")
        AFTER = "after", _("after tempering")

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="readings", verbose_name=_("piece"))
    place = models.CharField(_("place on the tool"), max_length=40)
    scale = models.CharField(_("scale"), max_length=10, default="HRC")
    value = models.DecimalField(_("value"), max_digits=6, decimal_places=1, validators=[ZERO])
    when = models.CharField(_("taken"), max_length=6, choices=When.choices, default=When.AFTER)
    tested_at = models.DateTimeField(_("tested at"), null=True, blank=True)
    by = models.CharField(_("by"), max_length=80, blank=True)

    class Meta:
        ordering = ["piece", "pk"]

    def __str__(self) -> str:
        return f"{self.value} {self.scale}, {self.place}"


class ProductSet(ShopOwned):
    """Several products sold together as one line; a full set has every product of its series."""

    parent_field = "series"

    series = models.ForeignKey(Series, on_delete=models.PROTECT, related_name="sets", verbose_name=_("series"))
    name = models.CharField(_("name"), max_length=80)
    products = models.ManyToManyField(Product, through="SetMember", related_name="sets", verbose_name=_("products"))
    full = models.BooleanField(_("full set"), default=False)

    class Meta:
        ordering = ["name"]
        verbose_name = _("set")
        verbose_name_plural = _("sets")
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="set_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name


class SetMember(ShopOwned):
    """One product of a set."""

    parent_field = "product_set"

    product_set = models.ForeignKey(ProductSet, on_delete=models.CASCADE, related_name="members", verbose_name=_("set"))
    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="+", verbose_name=_("product"))

    class Meta:
        verbose_name = _("product of a set")
        verbose_name_plural = _("products of sets")
        ordering = ["product__code"]
        constraints = [models.UniqueConstraint(fields=["product_set", "product"], name="product_once_per_set")]

    def __str__(self) -> str:
        return f"{self.product_set}: {self.product.code}"
