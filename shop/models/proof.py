"""The record of a parcel that was sent, and the receipts and photographs kept with it."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from .base import MOST_NOTES, ShopOwned
from .parcels import Parcel
from .people import CURRENCY
from .plans import SHA256
from .stock import price_column


class SentRecord(ShopOwned):
    """The way a parcel went: with whom, under which number, what was paid and what it is covered for."""

    parent_field = "parcel"

    parcel = models.OneToOneField(
        Parcel, on_delete=models.PROTECT, related_name="sent_record", verbose_name=_("parcel")
    )
    carrier = models.CharField(_("carrier"), max_length=60)
    service = models.CharField(_("service"), max_length=60, blank=True)
    tracking = models.CharField(_("tracking number"), max_length=60, blank=True)
    handed_over_on = models.DateField(_("handed over on"))
    paid = price_column(_("paid"), "")
    declared = price_column(_("declared value"), "")
    cover = price_column(_("covered up to"), "")
    currency = models.CharField(_("currency"), max_length=3, validators=[CURRENCY])
    signature = models.BooleanField(_("signature wanted"), default=False)
    claim_by = models.DateField(_("claims until"), null=True, blank=True)
    note = models.TextField(_("note"), max_length=MOST_NOTES, blank=True)

    class Meta:
        verbose_name = _("record of a parcel sent")
        verbose_name_plural = _("records of parcels sent")
        ordering = ["-handed_over_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.parcel_id}: {self.carrier} {self.tracking}".strip()


class ProofKind(models.TextChoices):
    RECEIPT = "receipt", _("receipt")
    CONTENTS = "contents", _("photograph of the open box")
    CLOSED = "closed", _("photograph of the closed box")
    SCALE = "scale", _("photograph of the scale")
    DAMAGE = "damage", _("photograph of a damage")
    OTHER = "other", _("something else")


class ProofMedia(models.TextChoices):
    """The files that are kept; the value is the ending of their name."""

    JPEG = "jpg", _("JPEG picture")
    PNG = "png", _("PNG picture")
    PDF = "pdf", _("PDF")


CONTENT_TYPES: dict[str, str] = {
    ProofMedia.JPEG: "image/jpeg",
    ProofMedia.PNG: "image/png",
    ProofMedia.PDF: "application/pdf",
}


class ProofFile(ShopOwned):
    """A receipt or a photograph of a parcel: a file named by the hash of its content."""

    parent_field = "parcel"

    parcel = models.ForeignKey(Parcel, on_delete=models.PROTECT, related_name="proof", verbose_name=_("parcel"))
    kind = models.CharField(_("of"), max_length=8, choices=ProofKind.choices)
    media = models.CharField(_("file"), max_length=3, choices=ProofMedia.choices)
    sha256 = models.CharField(_("hash of the file"), max_length=64, validators=[SHA256])
    size = models.PositiveIntegerField(_("bytes"))
    note = models.CharField(_("note"), max_length=200, blank=True)
    at = models.DateTimeField(_("kept at"), default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    class Meta:
        verbose_name = _("receipt or photograph")
        verbose_name_plural = _("receipts and photographs")
        ordering = ["parcel", "at", "pk"]
        constraints = [models.UniqueConstraint(fields=["parcel", "sha256"], name="file_once_per_parcel")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.sha256[:8]}"

    @property
    def file_name(self) -> str:
        return f"{self.sha256}.{self.media}"

    @property
    def is_picture(self) -> bool:
        return self.media != ProofMedia.PDF

    @property
    def content_type(self) -> str:
        """As a browser is told it."""
        return CONTENT_TYPES[self.media]

    @property
    def path(self) -> Path:
        """The place of the file in the data folder; its name is never anything a user typed."""
        return Path(settings.PROOF_DIR) / self.file_name
