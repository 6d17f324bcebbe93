"""Quotes: what a mix would cost to send, as it was told a customer; and answers that are known already."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError, ShopOwned
from .orders import Block, Order
from .people import COUNTRY
from .pieces import Piece, Product, ProductSet
from .plans import SHA256

MOST_POSTCODE = 12


class KnownAnswer(ShopOwned):
    """The answer for a mix, by the hash of all that decides it: asked again it need not be planned again."""

    key = models.CharField(_("hash of what it was made from"), max_length=64, validators=[SHA256])
    code_state = models.CharField(_("made by code of this hash"), max_length=64, validators=[SHA256])
    content = models.JSONField(_("answer"))

    class Meta:
        verbose_name = _("known answer")
        verbose_name_plural = _("known answers")
        constraints = [models.UniqueConstraint(fields=["shop", "key"], name="answer_once_per_key")]

    def __str__(self) -> str:
        return self.key[:8]


class Quote(ShopOwned):
    """A quote as a customer was told it: box, weight and prices of the day. Its content is never changed."""

    number = models.PositiveIntegerField(_("number"), validators=[MinValueValidator(1)])
    country = models.CharField(_("country"), max_length=2, validators=[COUNTRY])
    postcode = models.CharField(_("postcode"), max_length=MOST_POSTCODE, blank=True)
    content = models.JSONField(_("what it says"))
    made_at = models.DateTimeField(_("made at"), auto_now_add=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    good_until = models.DateField(_("holds until"))
    order = models.OneToOneField(
        Order, on_delete=models.PROTECT, null=True, blank=True, related_name="quote", verbose_name=_("order")
    )

    class Meta:
        verbose_name = _("quote")
        verbose_name_plural = _("quotes")
        ordering = ["-number"]
        constraints = [models.UniqueConstraint(fields=["shop", "number"], name="quote_number_once_per_shop")]

    def __str__(self) -> str:
        return str(self.number)

    def delete(self, *args: object, **kwargs: object) -> tuple[int, dict[str, int]]:
        raise ImmutableRowError("A quote is never deleted: a customer may hold it.")


class QuoteLine(ShopOwned):
    """A piece, a product, a set or a block of a quote, so many times."""

    parent_field = "quote"

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines", verbose_name=_("quote"))
    product = models.ForeignKey(Product, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    product_set = models.ForeignKey(ProductSet, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    piece = models.ForeignKey(
        Piece,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("Chosen already; its product stands beside it."),
    )
    quantity = models.PositiveIntegerField(_("quantity"), default=1, validators=[MinValueValidator(1)])
    matched = models.BooleanField(_("all of one number"), default=False)

    class Meta:
        verbose_name = _("line of a quote")
        verbose_name_plural = _("lines of quotes")
        ordering = ["quote", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    models.Q(product__isnull=False, product_set__isnull=True, block__isnull=True)
                    | models.Q(product__isnull=True, product_set__isnull=False, block__isnull=True, piece__isnull=True)
                    | models.Q(product__isnull=True, product_set__isnull=True, block__isnull=False, piece__isnull=True)
                ),
                name="quote_line_is_one_thing",
            ),
            models.CheckConstraint(
                condition=models.Q(piece__isnull=True) | models.Q(quantity=1), name="a_chosen_piece_is_one"
            ),
            models.CheckConstraint(condition=models.Q(quantity__gte=1), name="quote_line_of_at_least_one"),
        ]

    def __str__(self) -> str:
        return self.piece.label if self.piece is not None else f"{self.quantity} × {self.what}"

    @property
    def what(self) -> Product | ProductSet | Block | None:
        return self.product or self.product_set or self.block
