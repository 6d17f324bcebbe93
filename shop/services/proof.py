"""The record of a parcel that was sent, and the receipts and photographs kept with it."""

from __future__ import annotations

import hashlib
import io
import warnings
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _
from PIL import Image, UnidentifiedImageError
from pypdf import PdfReader
from pypdf.errors import PyPdfError

from shop.models import Parcel, ParcelState, ProofFile, ProofKind, ProofMedia, SentRecord, User
from shop.services import audit
from shop.services.errors import CannotDispatch
from shop.services.files import write_whole

MOST_BYTES = 8 * 1024 * 1024
MOST_FILES = 20
MOST_PIXELS = 60_000_000
"""A small file may unfold to a picture that fills the memory: it is refused by its size, before it is unpacked."""
STARTS = {b"\xff\xd8\xff": ProofMedia.JPEG, b"\x89PNG\r\n\x1a\n": ProofMedia.PNG, b"%PDF-": ProofMedia.PDF}
"""The first bytes of each kind; a name or a media type is only what the sender says."""


class ProofRefused(CannotDispatch):
    """A file is not kept; the sentence says why."""


def keep_record(record: SentRecord, by: User | None = None) -> SentRecord:
    """Store how a parcel went; what was said before stays in the record of changes.

    Raises
    ------
    CannotDispatch
        The parcel is not closed: nothing of it can have been paid.
    """
    parcel = record.parcel
    if parcel.state == ParcelState.PLANNED:
        raise CannotDispatch(_("%(parcel)s is not packed yet: nothing was sent.") % {"parcel": parcel.title})
    with transaction.atomic():
        before = SentRecord.objects.filter(parcel=parcel).first()
        # Saved over the one there is: a parcel has one record, and a second entry corrects it.
        record.pk = None if before is None else before.pk
        record._state.adding = before is None
        record.save()
    return record


def media_of(data: bytes) -> ProofMedia:
    """Tell a file's kind by its content, whatever its name says.

    Raises
    ------
    ProofRefused
        It is empty, too large, none of the kinds that are kept, or damaged.
    """
    if not data:
        raise ProofRefused(_("The file is empty."))
    if len(data) > MOST_BYTES:
        named = {"size": f"{len(data) / 2**20:.1f}", "most": MOST_BYTES // 2**20}
        raise ProofRefused(_("The file has %(size)s MB; at most %(most)d MB are kept.") % named)
    media = next((media for start, media in STARTS.items() if data.startswith(start)), None)
    if media is None:
        raise ProofRefused(_("The file is no JPEG, PNG or PDF."))
    if not (_is_whole_pdf(data) if media is ProofMedia.PDF else _is_whole_picture(data)):
        raise ProofRefused(_("The file is damaged, or larger than a photograph: it cannot be opened."))
    return media


def _is_whole_picture(data: bytes) -> bool:
    try:
        with warnings.catch_warnings():
            # Of a picture that may be made to fill the memory the library only warns.
            warnings.simplefilter("error")
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG")) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    return False
                # Opening reads no more than the head of a file; a torn one is found by reading all of it.
                picture.load()
    except (OSError, SyntaxError, ValueError, UnidentifiedImageError, Image.DecompressionBombError, Warning):
        return False
    return True


def _is_whole_pdf(data: bytes) -> bool:
    try:
        # On a broken file the library raises whatever it stumbles over, not only errors of its own.
        return len(PdfReader(io.BytesIO(data), strict=False).pages) > 0
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError, OSError):
        return False


def keep_file(parcel: Parcel, data: bytes, kind: ProofKind, note: str = "", by: User | None = None) -> ProofFile:
    """Keep a receipt or a photograph of a parcel.

    Raises
    ------
    ProofRefused
        It is no such file, the parcel has it already, or has as many as are kept; nothing is written.
    """
    media = media_of(data)
    if ProofFile.objects.filter(parcel=parcel).count() >= MOST_FILES:
        raise ProofRefused(_("A parcel keeps at most %(most)d files.") % {"most": MOST_FILES})
    sha256 = hashlib.sha256(data).hexdigest()
    if ProofFile.objects.filter(parcel=parcel, sha256=sha256).exists():
        raise ProofRefused(_("This very file is kept with the parcel already."))
    row = ProofFile(parcel=parcel, kind=kind, media=media, sha256=sha256, size=len(data), note=note[:200], by=by)
    folder = Path(settings.PROOF_DIR)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not row.path.exists():
        write_whole(row.path, data)  # before its row: a row says that there is a file to be had
    row.save()
    audit.record("proof kept", row, after={"kind": str(kind), "sha256": sha256})
    return row
