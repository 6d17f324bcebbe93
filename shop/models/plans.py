"""Box plans, and the boxes offered with them."""

from __future__ import annotations

import base64
import hashlib
import json
import lzma
from collections.abc import Mapping
from functools import cached_property
from typing import Any

from django.core.validators import MinValueValidator, RegexValidator
from django.db import models, transaction
from django.utils.translation import gettext_lazy as _

from .base import ImmutableRowError, ShopOwned
from .orders import Order

SHA256 = RegexValidator(r"^[0-9a-f]{64}$", _("A hash is 64 hexadecimal figures."))


class BoxPlanQuerySet(models.QuerySet["BoxPlan"]):
    """Box plans; none is ever changed or deleted."""

    def update(self, **kwargs: Any) -> int:
        raise ImmutableRowError("A box plan is never changed: plan the order again.")

    def delete(self) -> Any:
        raise ImmutableRowError("A box plan is never deleted.")


class OfferQuerySet(models.QuerySet["Offer"]):
    """Boxes offered; none is ever changed or deleted."""

    def update(self, **kwargs: Any) -> int:
        raise ImmutableRowError("A box that was offered is never changed: plan the order again.")

    def delete(self) -> Any:
        raise ImmutableRowError("A box that was offered is never deleted.")


class BoxPlan(ShopOwned):
    """The answer for one parcel, with all it was made from. Written once, never changed."""

    parent_field = "order"

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="plans", verbose_name=_("order"))
    content = models.JSONField(_("plan"))
    order_content = models.JSONField(_("order file"))
    rules = models.JSONField(_("rules"))
    item_sources = models.JSONField(
        _("what each item was"),
        default=dict,
        help_text=_("By item id: the piece's or block's row, its name and number when the plan was made."),
    )
    snapshot = models.JSONField(
        _("rows its box was made from"),
        default=dict,
        blank=True,
        help_text=_("Boards, wood, hardware, cartons and rules for board, as they were; empty for an older plan."),
    )
    refused_styles = models.JSONField(
        _("boxes that could not be made"), default=list, blank=True, help_text=_("A style and the reason each.")
    )
    chosen_from = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="chosen",
        verbose_name=_("offered with"),
        help_text=_("The plan among whose boxes this one was chosen; empty for a plan made by the search itself."),
    )
    parcel_number = models.PositiveIntegerField(_("parcel"), default=1, validators=[MinValueValidator(1)])
    parcel_count = models.PositiveIntegerField(_("of so many parcels"), default=1, validators=[MinValueValidator(1)])
    code_version = models.CharField(_("made by version"), max_length=40)
    input_hash = models.CharField(_("hash of what it was made from"), max_length=64, validators=[SHA256])
    created = models.DateTimeField(_("made at"), auto_now_add=True)

    objects = BoxPlanQuerySet.as_manager()

    class Meta:
        ordering = ["-created", "-pk"]

    def __str__(self) -> str:
        return f"{self.order_id}/{self.pk}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("A box plan is never changed: plan the order again.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("A box plan is never deleted.")

    @cached_property
    def content_hash(self) -> str:
        """Hash of the plan itself: two plans of the same order differ in it where they differ at all."""
        return hashlib.sha256(json.dumps(self.content, sort_keys=True).encode()).hexdigest()

    @property
    def code(self) -> str:
        """The code that people tell the plan by: it stands in the title block of its papers."""
        return self.content_hash[:8]

    @property
    def parcel_name(self) -> str:
        """The order's number, with the parcel's where there are several: 17, or 17/2."""
        return str(self.order.number) + (f"/{self.parcel_number}" if self.parcel_count > 1 else "")

    @cached_property
    def choices(self) -> list[Offer]:
        """The boxes offered for the order when it was planned, this plan's own perhaps among them."""
        found = self.chosen_from or self
        return list(found.offers.all()) or PackedOffers.of(found)


class Offer(ShopOwned):
    """A box offered with a plan: what of its own plan is otherwise than in the plan it was found with."""

    parent_field = "plan"

    plan = models.ForeignKey(BoxPlan, on_delete=models.PROTECT, related_name="offers", verbose_name=_("box plan"))
    place = models.PositiveSmallIntegerField(_("place among the offers"))
    differing = models.JSONField(_("what of its plan is otherwise"), default=dict, blank=True)
    missing = models.JSONField(_("what of the plan it has not"), default=list, blank=True)
    beside = models.JSONField(_("how it stands beside its like"), default=str, blank=True)
    snapshot = models.JSONField(_("rows its box was made from"), default=dict, blank=True)

    objects = OfferQuerySet.as_manager()

    class Meta:
        verbose_name = _("box offered")
        verbose_name_plural = _("boxes offered")
        ordering = ["plan", "place"]
        constraints = [models.UniqueConstraint(fields=["plan", "place"], name="offer_once_per_place")]

    def __str__(self) -> str:
        return f"{self.plan_id}/{self.place}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ImmutableRowError("A box that was offered is never changed: plan the order again.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        raise ImmutableRowError("A box that was offered is never deleted.")

    @classmethod
    def of_content(cls, plan: BoxPlan, place: int, content: Mapping[str, object], **values: Any) -> Offer:
        """The row of a box whose plan has this content, not yet saved."""
        kept = plan.content
        differing = {key: value for key, value in content.items() if key not in kept or kept[key] != value}
        return cls(plan=plan, place=place, differing=differing, missing=sorted(kept.keys() - content.keys()), **values)

    @property
    def content(self) -> dict[str, object]:
        """The file of its own plan."""
        kept = {key: value for key, value in self.plan.content.items() if key not in self.missing}
        return {**kept, **self.differing}


class PackedOffers(ShopOwned):
    """The boxes offered with an old plan, compressed; what is unpacked is what was packed, byte for byte."""

    parent_field = "plan"

    plan = models.OneToOneField(
        BoxPlan, on_delete=models.PROTECT, related_name="packed_offers", verbose_name=_("box plan")
    )
    data = models.TextField(_("offers, compressed"))

    class Meta:
        verbose_name_plural = _("packed offers")

    def __str__(self) -> str:
        return f"{self.plan_id}"

    @classmethod
    def pack(cls, plan: BoxPlan) -> None:
        """Put a plan's offers away in one row, all or none."""
        with transaction.atomic():
            offers = list(plan.offers.order_by("place"))
            columns = [{name: getattr(offer, name) for name in _OFFER_COLUMNS} for offer in offers]
            packed = lzma.compress(json.dumps(columns).encode())
            cls.objects.create(plan=plan, shop_id=plan.shop_id, data=base64.b64encode(packed).decode())
            # Past their own manager, which deletes no offer: they are in the packed row now.
            models.QuerySet.delete(Offer.objects.filter(pk__in=[offer.pk for offer in offers]))

    @classmethod
    def of(cls, plan: BoxPlan) -> list[Offer]:
        """The offers of a plan that were put away, as they were; an empty list where none were."""
        row = cls.objects.filter(plan=plan).first()
        if row is None:
            return []
        columns = json.loads(lzma.decompress(base64.b64decode(row.data)))
        return [Offer(plan=plan, shop_id=plan.shop_id, **values) for values in columns]


_OFFER_COLUMNS = ("place", "differing", "missing", "beside", "snapshot")
"""All that an offer is but its keys: what is unpacked must be what was packed."""
