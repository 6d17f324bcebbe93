"""Sent parcels in words: against their quote, to its customer, and for a claim."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Q
from django.utils.translation import gettext as _

from shop import adapter
from shop.models import Document, Parcel, ProofFile, SentRecord, WeighIn
from shop.money import Money


@dataclass(frozen=True)
class Quoted:
    """The amount that sending a parcel was quoted at, from least to most, in one currency."""

    least: Decimal
    most: Decimal
    currency: str


def quoted_for(record: SentRecord) -> Quoted | None:
    """The amount in the order's quote for this parcel with this carrier and service; None where there is none."""
    order = record.parcel.order
    quote = getattr(order, "quote", None)
    if quote is None:
        return None
    for service in adapter.read_quote(quote.content).services:
        if (service.carrier, service.service) != (record.carrier, record.service):
            continue
        ends = [list(end.charges) for end in (service.least, service.most)]
        place = record.parcel.number - 1
        totals = [end[place].total if place < len(end) else None for end in ends]
        if totals[0] is not None and totals[1] is not None:
            return Quoted(totals[0], totals[1], service.currency)
    return None


@dataclass(frozen=True)
class Beside:
    """The amount paid beside the one quoted, as text; `over` where it was more than the most that was quoted."""

    quoted: str
    difference: str
    over: bool


def beside_quote(record: SentRecord) -> Beside:
    """Set what was paid for a parcel beside what it was quoted at."""
    quoted = quoted_for(record)
    if quoted is None:
        return Beside("", "", False)
    least, most = Money(quoted.least, quoted.currency), Money(quoted.most, quoted.currency)
    words = str(most) if least == most else f"{least.rounded().amount} – {most}"
    if record.paid is None or record.currency != quoted.currency:
        return Beside(words, "", False)
    off = record.paid - min(max(record.paid, quoted.least), quoted.most)
    return Beside(words, f"{Money(off, quoted.currency).rounded().amount:+}", off > 0)


def claim_rule_of(record: SentRecord) -> adapter.ClaimRule | None:
    """The published time for claims with its carrier; None where nothing is known of it."""
    return adapter.claim_rule(record.carrier)


def message_for(record: SentRecord) -> str:
    """The words that tell the customer that a parcel is on its way."""
    parcel, order = record.parcel, record.parcel.order
    names = [source.name for source in adapter.sources_of(parcel.plan).values() if not source.is_piece]
    inside = sorted(item for item, source in adapter.sources_of(parcel.plan).items() if source.is_piece) + names
    with_whom = " ".join(part for part in (record.carrier, record.service) if part)
    lines = [
        _("Dear %(customer)s,") % {"customer": order.customer.name},
        "",
        _("your order %(number)s has left on %(day)s with %(carrier)s.")
        % {"number": parcel.plan.parcel_name, "day": record.handed_over_on.isoformat(), "carrier": with_whom},
    ]
    if parcel.plan.parcel_count > 1:
        counted = {"n": parcel.number, "of": parcel.plan.parcel_count}
        lines.append(_("This is parcel %(n)d of %(of)d.") % counted)
    if record.tracking:
        lines.append(_("Its number with the carrier: %(tracking)s.") % {"tracking": record.tracking})
    lines.append(_("In it: %(inside)s.") % {"inside": ", ".join(inside)})
    if record.signature:
        lines.append(_("The carrier asks for a signature."))
    lines += [
        _(
            "Please look at the box before you open it. If it is damaged, photograph it closed and open, and tell us "
            "at once."
        ),
        "",
        parcel.shop.name,
    ]
    return "\n".join(lines)


def record_text(parcel: Parcel) -> str:
    """All that is on record of a parcel, as plain text for a claim."""
    record = SentRecord.objects.filter(parcel=parcel).first()
    order, plan, sources = parcel.order, adapter.plan_of(parcel.plan), adapter.sources_of(parcel.plan)
    lines = [
        f"{parcel.shop.name}: {parcel.title}, plan {parcel.plan.code}",
        f"To: {order.customer.name}, {', '.join(order.customer.address_lines)}, {order.customer.country}",
        f"Box outside, planned: {' x '.join(f'{side / 1000:g}' for side in plan.box.outer_um)} mm",
        "",
        "Contents, as measured",
        *(f"- {source.name} {item if source.is_piece else ''}".rstrip() for item, source in sources.items()),
    ]
    lines += [] if record is None else _sent_lines(record)
    lines += [
        "",
        "Scale readings of the closed box",
        *map(_reading_line, WeighIn.objects.filter(parcel=parcel).select_related("by")),
    ]
    lines += ["", "What happened"]
    events = order.events.filter(Q(parcel=parcel) | Q(parcel=None), piece=None).select_related("by")
    lines += [
        f"- {row.at.isoformat(timespec='minutes')}: {row.get_kind_display()} {row.why}".rstrip() for row in events
    ]
    return "\n".join(lines) + "\n"


def _sent_lines(record: SentRecord) -> list[str]:
    amounts = (("Paid", record.paid), ("Declared value", record.declared), ("Covered up to", record.cover))
    lines = [
        "",
        "Sent",
        f"- {record.carrier} {record.service}, handed over {record.handed_over_on.isoformat()}",
        f"- Tracking number: {record.tracking or 'none'}",
        *(f"- {name}: {Money(amount, record.currency)}" for name, amount in amounts if amount is not None),
        f"- Signature wanted: {'yes' if record.signature else 'no'}",
    ]
    if record.claim_by:
        lines.append(f"- Claims until {record.claim_by.isoformat()}")
    return [*lines, f"- {record.note}"] if record.note else lines


def _minute(at: dt.datetime) -> str:
    return at.isoformat(timespec="minutes")


def _reading_line(row: WeighIn) -> str:
    taped = "" if row.taped_mm is None else f", taped {' x '.join(f'{side:g}' for side in row.taped_mm)} mm"
    why = f" Taken because: {row.why}" if row.why else ""
    return (
        f"- {_minute(row.at)}: {row.reading_g:.0f} g, expected {row.expected_g:.0f} g ± {row.tolerance_g:.0f} g"
        f"{taped}, {row.get_verdict_display()}, by {row.by or 'nobody on record'}. {row.told}{why}"
    )


def _newest_papers(parcel: Parcel) -> list[Document]:
    """The paper printed last of each kind and size."""
    # By age: of those of one kind and size the newest is left.
    printed = parcel.plan.documents.order_by("created", "pk")
    newest = {(paper.kind, paper.page_size): paper for paper in printed}
    return [newest[key] for key in sorted(newest)]


def claim_file(parcel: Parcel, make_again: Callable[[Document], bool]) -> bytes:
    """Everything that a claim for a parcel needs in one archive: papers, photographs, receipt, weigh-in, record.

    Parameters
    ----------
    parcel
        Whose claim it is.
    make_again
        Prints a paper whose file was put away; False where it cannot.

    Returns
    -------
    bytes
        A ZIP file; what is on record but no longer in the data folder is named in its list.
    """
    out, listed = io.BytesIO(), []
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:

        def add(name: str, data: bytes) -> None:
            # A fixed date: the same record gives the same file.
            archive.writestr(zipfile.ZipInfo(name, (2020, 1, 1, 0, 0, 0)), data)
            listed.append(f"{hashlib.sha256(data).hexdigest()}  {name}")

        add("record.txt", record_text(parcel).encode())
        for number, row in enumerate(ProofFile.objects.filter(parcel=parcel), 1):
            name = f"{number:02d}-{row.kind}.{row.media}"
            if row.path.is_file():
                add(name, row.path.read_bytes())
            else:
                listed.append(f"missing  {name}")
        for document in _newest_papers(parcel):
            name = f"paper-{document.kind}-{document.page_size}.pdf"
            if document.path.is_file() or make_again(document):
                add(name, document.path.read_bytes())
            else:
                listed.append(f"missing  {name}")
        archive.writestr(zipfile.ZipInfo("sha256.txt", (2020, 1, 1, 0, 0, 0)), "\n".join(listed) + "\n")
    return out.getvalue()
