"""The record of a parcel that was sent, and the receipts and photographs kept with it."""

from __future__ import annotations

import hashlib
import io
import warnings
from collections.abc import Callable
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


def keep_record(record: SentRecord, store: Callable[[], SentRecord]) -> SentRecord:
    """Store how a parcel went; what was said before stays in the record of changes.

    Parameters
    ----------
    record
        As it was filled in, of the parcel that it is about.
    store
        Stores it, or what was changed of it.

    Returns
    -------
    SentRecord

    Raises
    ------
    CannotDispatch
        The box is not closed, so that nothing of it can have been paid; or another first record of the parcel was
        stored meanwhile.
    """
    with transaction.atomic():
        if not _hold_closed(record.parcel):
            raise CannotDispatch(_("%(parcel)s is not packed yet: nothing was sent.") % {"parcel": record.parcel.title})
        kept = SentRecord.objects.filter(parcel=record.parcel).first()
        if kept is None or record.pk is not None:
            return store()
        if _says(kept) != _says(record):
            raise CannotDispatch(
                _("Another record of %(parcel)s has been stored meanwhile: look at it before you store yours.")
                % {"parcel": record.parcel.called}
            )
        return kept


def _says(record: SentRecord) -> list[object]:
    return [getattr(record, field.attname) for field in record._meta.concrete_fields if not field.primary_key]


def _hold_closed(parcel: Parcel) -> bool:
    """Hold the parcel's row, so that no one else looks at what it has meanwhile; tell whether its box is closed."""
    return Parcel.objects.select_for_update(of=("self",)).get(pk=parcel.pk).state != ParcelState.PLANNED


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
        It is no such file, the box is not closed, or the parcel has it or as many as are kept; nothing is written.
    """
    media = media_of(data)
    sha256 = hashlib.sha256(data).hexdigest()
    row = ProofFile(parcel=parcel, kind=kind, media=media, sha256=sha256, size=len(data), note=note[:200], by=by)
    with transaction.atomic():
        _refuse_more(parcel, sha256)
        folder = Path(settings.PROOF_DIR)
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not row.path.exists():
            write_whole(row.path, data)  # before its row: a row says that there is a file to be had
        row.save()
        audit.record("proof kept", row, after={"kind": str(kind), "sha256": sha256})
    return row


def _refuse_more(parcel: Parcel, sha256: str) -> None:
    if not _hold_closed(parcel):
        sentence = _("%(parcel)s is not packed yet: receipts and photographs are kept once its box is closed.")
        raise ProofRefused(sentence % {"parcel": parcel.title})
    if ProofFile.objects.filter(parcel=parcel).count() >= MOST_FILES:
        raise ProofRefused(_("A parcel keeps at most %(most)d files.") % {"most": MOST_FILES})
    if ProofFile.objects.filter(parcel=parcel, sha256=sha256).exists():
        raise ProofRefused(_("This very file is kept with the parcel already."))
