"""Orders, their lines, and which piece goes to which line."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.apps import apps
from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, ImmutableRowError, ShopOwned
from .people import CURRENCY, Customer
from .pieces import Piece, Product, ProductSet

if TYPE_CHECKING:
    from .parcels import Parcel

POSITIVE = MinValueValidator(Decimal("0.01"))


class Block(ShopOwned):
    """Anything else that rides along in a box of its own shape: a tin of wax, a packet of wedges. In mm and g."""

    name = models.CharField(_("name"), max_length=80)
    length = models.DecimalField(_("length"), max_digits=12, decimal_places=7, validators=[POSITIVE])
    width = models.DecimalField(_("width"), max_digits=12, decimal_places=7, validators=[POSITIVE])
    height = models.DecimalField(_("height"), max_digits=12, decimal_places=7, validators=[POSITIVE])
    weight_g = models.DecimalField(_("weight, g"), max_digits=15, decimal_places=9, validators=[POSITIVE])
    upright = models.BooleanField(_("this way up"), default=False)

    class Meta:
        verbose_name = _("block")
        verbose_name_plural = _("blocks")
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="block_name_once_per_shop")]

    def __str__(self) -> str:
        return self.name


class OrderState(models.TextChoices):
    DRAFT = "draft", _("taken")
    PLANNED = "planned", _("planned")
    PACKING = "packing", _("partly packed")
    PACKED = "packed", _("packed")
    SENT = "sent", _("sent")
    CANCELLED = "cancelled", _("cancelled")


OPEN_STATES = (OrderState.DRAFT, OrderState.PLANNED)
"""Once a box is closed, what is in it and what its papers say may not change any more."""
WITH_OPEN_BOXES = (*OPEN_STATES, OrderState.PACKING)
"""A box of such an order may still be planned again and packed."""


class Order(ShopOwned):
    """An order of one customer."""

    parent_field = "customer"

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders", verbose_name=_("customer"))
    number = models.PositiveIntegerField(_("number"), validators=[MinValueValidator(1)])
    state = models.CharField(_("state"), max_length=9, choices=OrderState.choices, default=OrderState.DRAFT)
    placed_at = models.DateTimeField(_("placed at"), default=timezone.now)
    notes = models.TextField(_("notes"), max_length=MOST_NOTES, blank=True)
    consignment = models.OneToOneField(
        "shop.Consignment",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="current_of",
        verbose_name=_("current consignment"),
    )
    plan_outdated = models.BooleanField(_("plan is out of date"), default=False, db_index=True, editable=False)
    plan_outdated_why = models.TextField(_("what has changed since"), blank=True, editable=False)
    plan_judged_on = models.DateField(
        _("plan compared on"),
        null=True,
        editable=False,
        help_text=_("Empty: something was stored since, and the plan is to be compared with it."),
    )
    plan_touched = models.PositiveIntegerField(
        _("changes that may concern the plan"),
        default=0,
        editable=False,
        help_text=_("Counts up, so that a comparison made before a change is not taken for one made after it."),
    )

    class Meta:
        verbose_name = _("order")
        verbose_name_plural = _("orders")
        ordering = ["-placed_at", "-number"]
        constraints = [models.UniqueConstraint(fields=["shop", "number"], name="order_number_once_per_shop")]

    def __str__(self) -> str:
        return f"{self.number}, {self.customer}"

    @property
    def is_open(self) -> bool:
        """Pieces may still be allocated, and all of its boxes planned."""
        return self.state in OPEN_STATES

    @property
    def has_open_box(self) -> bool:
        """A box of it may still be planned again and packed."""
        return self.state in WITH_OPEN_BOXES

    @property
    def parcels(self) -> models.QuerySet[Parcel]:
        """The parcels of its current consignment, by number; none before it is planned."""
        rows: models.QuerySet[Parcel] = apps.get_model("shop", "Parcel").objects.all()
        if self.consignment_id is None:
            return rows.none()
        return rows.filter(consignment=self.consignment_id).order_by("number")

    @property
    def plan_keys(self) -> tuple[int, ...]:
        """The keys of its parcels' plans, by number: another box for any of them makes other keys."""
        return tuple(self.parcels.values_list("plan_id", flat=True))


class LinesOrdered(models.Manager["OrderLine"]):
    """Lines that are still on their order."""

    def get_queryset(self) -> models.QuerySet[OrderLine]:
        return super().get_queryset().filter(taken_off_at__isnull=True)


class OrderLine(ShopOwned):
    """A product, a set or a block, so many times. The price is for one.

    A line that has held pieces is not deleted when it is taken off its order, so that their history stays; then it is
    in `all_objects` alone.
    """

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="lines", verbose_name=_("order"))
    product = models.ForeignKey(Product, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    product_set = models.ForeignKey(ProductSet, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    quantity = models.PositiveIntegerField(_("quantity"), default=1, validators=[MinValueValidator(1)])
    matched = models.BooleanField(_("all of one number"), default=False)
    unit_price = models.DecimalField(
        _("price each"),
        max_digits=12,
        decimal_places=4,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0"))],
    )
    currency = models.CharField(_("currency"), max_length=3, blank=True, validators=[CURRENCY])
    taken_off_at = models.DateTimeField(_("taken off at"), null=True, blank=True, editable=False)

    objects = LinesOrdered()
    all_objects = models.Manager["OrderLine"]()

    class Meta:
        verbose_name = _("line of an order")
        verbose_name_plural = _("lines of orders")
        ordering = ["order", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    models.Q(product__isnull=False, product_set__isnull=True, block__isnull=True)
                    | models.Q(product__isnull=True, product_set__isnull=False, block__isnull=True)
                    | models.Q(product__isnull=True, product_set__isnull=True, block__isnull=False)
                ),
                name="line_is_one_thing",
                violation_error_message=_("A line is one thing: a product, a set or a block."),
            ),
            models.CheckConstraint(condition=models.Q(quantity__gte=1), name="line_of_at_least_one"),
            models.CheckConstraint(
                condition=models.Q(matched=False) | models.Q(product_set__isnull=False),
                name="only_sets_are_matched",
                violation_error_message=_("Only a set can be matched: all its pieces bear the same number."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.what}"

    @property
    def what(self) -> Product | ProductSet | Block | None:
        return self.product or self.product_set or self.block

    def products_wanted(self) -> list[Product]:
        """One entry a piece: a set of three, twice, gives six."""
        if self.product is not None:
            return [self.product] * self.quantity
        if self.product_set is not None:
            models.prefetch_related_objects([self.product_set], "members__product")
            return [member.product for member in self.product_set.members.all()] * self.quantity
        return []

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self.currency:
            self.currency = self.order.shop.currency
        super().save(*args, **kwargs)


class AllocationQuerySet(models.QuerySet["Allocation"]):
    """Allocations, released ones kept as history."""

    def live(self) -> AllocationQuerySet:
        return self.filter(released_at__isnull=True)

    def delete(self) -> Any:
        raise ImmutableRowError("An allocation is released, not deleted.")


class Allocation(ShopOwned):
    """A piece given to a line of an order. A piece is in at most one live allocation."""

    parent_field = "line"

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="allocations", verbose_name=_("piece"))
    line = models.ForeignKey(OrderLine, on_delete=models.PROTECT, related_name="allocations", verbose_name=_("line"))
    made_at = models.DateTimeField(_("made at"), default=timezone.now)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    released_at = models.DateTimeField(_("released at"), null=True, blank=True)
    released_why = models.CharField(_("released because"), max_length=200, blank=True)

    objects = AllocationQuerySet.as_manager()

    class Meta:
        verbose_name = _("piece held")
        verbose_name_plural = _("pieces held")
        ordering = ["line", "piece__product__code", "piece__number"]
        constraints = [
            models.UniqueConstraint(
                # The last word on who holds a piece, whatever a service may overlook.
                fields=["piece"],
                condition=models.Q(released_at__isnull=True),
                name="piece_in_one_live_allocation",
            )
        ]

    def __str__(self) -> str:
        return f"{self.piece} → {self.line.order_id}"

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("An allocation is released, not deleted.")
