"""The base of every row: it belongs to a shop."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

MOST_NOTES = 2000
"""Characters of a note, or of where something is from: about a page."""
MOST_ADDRESS, MOST_ADDRESS_LINES = 500, 8
"""Characters and lines of an address: what has room on a paper, with some to spare."""


def check_address_lines(address: str) -> None:
    """Check that an address has no more lines than have room on a paper.

    Parameters
    ----------
    address
        As it was typed.

    Raises
    ------
    ValidationError
        It has more than `MOST_ADDRESS_LINES` lines.
    """
    lines = len(address.splitlines())
    if lines > MOST_ADDRESS_LINES:
        sentence = _("An address has at most %(most)d lines, not %(lines)d.")
        raise ValidationError(sentence, params={"most": MOST_ADDRESS_LINES, "lines": lines})


class ImmutableRowError(Exception):
    """Something the shop's records do not allow: changing a plan, deleting a number."""


class ShopOwned(models.Model):
    """A row of one shop: the one given, or its parent row's. Rows of two shops never mix."""

    parent_field: str | None = None

    shop = models.ForeignKey("shop.Shop", on_delete=models.PROTECT, related_name="+", verbose_name=_("shop"))

    class Meta:
        abstract = True

    def fill_shop(self) -> None:
        """Take the shop from the parent row when none is set."""
        if self.shop_id is None and self.parent_field:
            parent = getattr(self, self.parent_field, None)
            if parent is not None:
                self.shop_id = parent.shop_id

    def refuse_two_shops(self) -> None:
        """Raise ValidationError if a row this one points to belongs to another shop."""
        for field in self._meta.concrete_fields:
            if not isinstance(field, models.ForeignKey) or not _is_shop_owned(field):
                continue
            if getattr(self, field.attname) is None:
                continue
            if getattr(self, field.name).shop_id != self.shop_id:
                raise ValidationError(
                    {field.name: _("%(what)s belongs to another shop.") % {"what": field.verbose_name}}
                )

    def clean_fields(self, exclude: Any = None) -> None:
        self.fill_shop()
        super().clean_fields(exclude=exclude)

    def clean(self) -> None:
        super().clean()
        if self.shop_id is not None:
            self.refuse_two_shops()

    def validate_constraints(self, exclude: Any = None) -> None:
        """Check what a shop has once, of rows whose form does not ask for the shop as well.

        Parameters
        ----------
        exclude
            Columns that are not looked at.

        Raises
        ------
        ValidationError
            Another row of the shop has the same; it names the column and the value.
        """
        self.fill_shop()
        left_out = set(exclude or ())
        for constraint in self._meta.constraints:
            if isinstance(constraint, models.UniqueConstraint) and "shop" in constraint.fields:
                self._refuse_taken(constraint, left_out - {"shop"})
        super().validate_constraints(exclude=left_out | {"shop"})

    def _refuse_taken(self, constraint: models.UniqueConstraint, left_out: set[str]) -> None:
        try:
            constraint.validate(type(self), self, exclude=left_out)
        except ValidationError:
            names = [name for name in constraint.fields if name != "shop"]
            columns = [self._meta.get_field(name) for name in names]
            taken = {
                "fields": ", ".join(str(getattr(column, "verbose_name", column.name)) for column in columns),
                "values": ", ".join(str(getattr(self, name)) for name in names),
            }
            sentence = _("The %(fields)s “%(values)s” is taken: another row of the shop has it.")
            raise ValidationError({names[0]: ValidationError(sentence, code="unique", params=taken)}) from None

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.fill_shop()
        if self.shop_id is not None and kwargs.get("update_fields") is None:
            self.refuse_two_shops()
        super().save(*args, **kwargs)


def _is_shop_owned(field: models.ForeignKey[Any, Any]) -> bool:
    related = field.related_model
    return isinstance(related, type) and issubclass(related, ShopOwned)


class LengthUnit(models.TextChoices):
    MM = "mm", _("millimetres")
    INCH = "in", _("inches")


class WeightUnit(models.TextChoices):
    GRAM = "g", _("grams")
    POUND = "lb", _("pounds and ounces")


class EvidenceLevel(models.TextChoices):
    PRIMARY = "primary", _("read in the original")
    SECONDARY = "secondary", _("read on another page")
    MEMORY = "memory", _("from memory")
    PRACTICE = "practice", _("common practice, no source")


class BilledUnit(models.TextChoices):
    """By which weight the shop says what a carrier's bill costs it."""

    KILOGRAM = "kg", _("kilogram")
    POUND = "lb", _("pound")


class PaperSize(models.TextChoices):
    A4 = "A4", _("A4")
    LETTER = "Letter", _("US Letter")


def key_of(text: str) -> int:
    """A row's key as a form or an address names it; 0, which no row has, for what is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
