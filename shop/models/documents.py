"""The papers made from a plan."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from .base import PaperSize, ShopOwned
from .plans import SHA256, BoxPlan


class DocumentKind(models.TextChoices):
    SLIP = "slip", _("packing slip")
    INSERT = "insert", _("insert cut plan")
    BOX = "box", _("box cut plan")


class Document(ShopOwned):
    """A paper made from a plan: a file named by the hash of its content."""

    parent_field = "plan"

    plan = models.ForeignKey(BoxPlan, on_delete=models.PROTECT, related_name="documents", verbose_name=_("box plan"))
    kind = models.CharField(_("paper"), max_length=10, choices=DocumentKind.choices)
    page_size = models.CharField(_("page"), max_length=6, choices=PaperSize.choices)
    sha256 = models.CharField(_("hash of the file"), max_length=64, validators=[SHA256])
    made_from_hash = models.CharField(_("hash of what it was made from"), max_length=64, validators=[SHA256])
    pages = models.PositiveIntegerField(_("sheets"), null=True, blank=True)
    context = models.JSONField(
        _("what it says beside the plan"),
        default=dict,
        blank=True,
        editable=False,
        help_text=_("Names, addresses and units as they were, so that the same paper can be made again."),
    )
    created = models.DateTimeField(_("made at"), auto_now_add=True)

    class Meta:
        verbose_name = _("paper")
        verbose_name_plural = _("papers")
        ordering = ["plan", "kind", "page_size", "-created"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "kind", "page_size", "sha256"], name="paper_once_per_plan")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.page_size}"

    @property
    def file_name(self) -> str:
        return f"{self.sha256}.pdf"

    @property
    def path(self) -> Path:
        """The place of the file in the data folder; its name is never anything a user typed."""
        return Path(settings.PAPERS_DIR) / self.file_name
