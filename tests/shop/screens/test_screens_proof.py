"""Sent parcels: their record, receipts and photographs, words for the customer, claim file, paid and quoted."""

import hashlib
import io
import warnings
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest import mock

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image
from pypdf import PdfWriter

from shop import adapter
from shop.forms.proof import SentForm
from shop.models import (
    Consignment,
    Customer,
    Document,
    Order,
    OrderEvent,
    Parcel,
    ProofFile,
    ProofKind,
    SentRecord,
)
from shop.services import claims, dispatch, proof
from shop.services.errors import CannotDispatch
from shop.services.weighing import Reading
from tests.shop.planned import act, only_parcel, only_plan

RECORD = {
    "carrier": "UPS",
    "service": "Ground",
    "tracking": "1Z 999 AA1 0123456784",
    "handed_over_on": "2026-11-27",
    "paid": "18,40",
    "declared": "400",
    "cover": "100",
    "currency": "EUR",
    "signature": "on",
    "claim_by": "",
    "note": "counter at the station",
}


@pytest.fixture
def packed(planned: Any) -> Any:
    act(dispatch.pack, planned)
    gross = Decimal(adapter.plan_of(only_plan(planned)).weight.gross_mg) / 1000
    act(dispatch.take_weigh_in, planned, Reading(gross, told="over", why="a gift went in"))
    return planned


@pytest.fixture
def owner(log_in: Any) -> Any:
    return log_in("owner")


@pytest.fixture(autouse=True)
def _folder(settings: Any, tmp_path: Path) -> None:
    settings.PROOF_DIR = tmp_path / "proof"


def photo(colour: str = "red", kind: str = "JPEG") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(out, kind)
    return out.getvalue()


def receipt() -> bytes:
    out, writer = io.BytesIO(), PdfWriter()
    writer.add_blank_page(200, 200)
    writer.write(out)
    return out.getvalue()


def store(client: Client, **changes: str) -> Any:
    return client.post(reverse("sent-record", args=[17, 1]), {**RECORD, **changes}, follow=True)


def keep(client: Client, data: bytes, kind: str = "receipt", name: str = "../../evil.exe") -> Any:
    sent = {"file": SimpleUploadedFile(name, data), "kind": kind}
    return client.post(reverse("add-proof", args=[17, 1]), sent, follow=True)


def test_how_a_parcel_went_is_stored_with_the_published_claim_deadline(owner: Client, packed: Order) -> None:
    page = store(owner).content.decode()
    row = SentRecord.objects.get()
    assert (row.paid, row.currency, row.signature) == (Decimal("18.4"), "EUR", True)
    assert row.claim_by is not None and row.claim_by.isoformat() == "2027-01-26"
    assert "Claims until <strong>2027-01-26</strong>" in page
    assert "The declared value is above what is covered" in page


def test_the_words_for_the_customer_name_carrier_number_and_pieces(owner: Client, packed: Order) -> None:
    page = store(owner).content.decode()
    assert "your order 17 has left on 2026-11-27 with UPS Ground." in page
    assert "1Z 999 AA1 0123456784" in page and "In it: CH125-007" in page
    assert "The carrier asks for a signature." in page


def test_a_record_is_stored_again_and_what_it_said_before_is_kept(owner: Client, packed: Order) -> None:
    store(owner)
    store(owner, paid="19.10")
    assert SentRecord.objects.get().paid == Decimal("19.1")
    assert "19.1" in owner.get(reverse("trail")).content.decode()


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"carrier": ""}, "required"),
        ({"paid": "-1"}, "Must be at least 0."),
        ({"paid": "1,234"}, "can be read in two ways"),
        ({"currency": "EURO"}, "3"),
        ({"handed_over_on": "9999-12-31"}, "Days are of the years 1900 to 2200, not 9999-12-31."),
        ({"tracking": "ＲＡ４７３１２４８２９FI"}, "Tracking numbers are of the letters A to Z and the figures 0 to 9"),
        ({"tracking": "RA٤٧٣١٢٤٨٢٨FI"}, "Tracking numbers are of the letters A to Z and the figures 0 to 9"),
        ({"handed_over_on": "yesterday"}, "Must be a date"),
        ({"claim_by": "2026-11-26"}, "Claims end after the parcel was handed over"),
        ({"tracking": "(00) 376104250021234568"}, "is not the check digit of the rest"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_stored(
    owner: Client, packed: Order, changes: dict[str, str], sentence: str
) -> None:
    answer = store(owner, **changes)
    assert answer.status_code == 400
    page = answer.content.decode()
    assert sentence in page, page[page.find('class="error"') :][:300]
    assert not SentRecord.objects.exists()


def test_a_number_that_stands_so_on_the_receipt_is_taken_once_confirmed(owner: Client, packed: Order) -> None:
    store(owner, tracking="(00) 376104250021234568", confirmed="on")
    assert SentRecord.objects.get().tracking == "(00) 376104250021234568"


def test_nothing_is_on_record_of_an_open_box(owner: Client, planned: Order) -> None:
    assert "is not packed yet" in store(owner).content.decode()
    assert not SentRecord.objects.exists()
    assert "kept once its box is closed" in keep(owner, photo()).content.decode()
    assert not ProofFile.objects.exists()


def test_of_two_first_records_at_once_the_second_is_told(packed: Order) -> None:
    parcel = only_parcel(packed)
    first, same, other = (SentForm({**RECORD, "paid": paid}, parcel=parcel) for paid in ("18,40", "18,40", "19,10"))
    assert first.is_valid() and same.is_valid() and other.is_valid()
    kept = proof.keep_record(first.instance, first.save)
    assert proof.keep_record(same.instance, same.save) == kept
    with pytest.raises(CannotDispatch, match="has been stored meanwhile"):
        proof.keep_record(other.instance, other.save)
    assert SentRecord.objects.get().paid == Decimal("18.4")


def test_a_record_changed_meanwhile_is_told_and_not_written_over(owner: Client, packed: Order, log_in: Any) -> None:
    store(owner)
    seen = owner.get(reverse("sent-record", args=[17, 1])).context["form"].seen
    store(log_in("packer"), paid="21")
    answer = store(owner, note="by train", seen=seen)
    assert answer.status_code == 400
    assert "has been changed meanwhile" in answer.content.decode()
    row = SentRecord.objects.get()
    assert (row.paid, row.note) == (Decimal(21), "counter at the station")


def test_what_a_parcel_has_is_looked_at_while_its_row_is_held(packed: Order) -> None:
    parcel = only_parcel(packed)
    form = SentForm(RECORD, parcel=parcel)
    assert form.is_valid()
    with mock.patch.object(proof, "_hold_closed", wraps=proof._hold_closed) as held:
        proof.keep_record(form.instance, form.save)
        proof.keep_file(parcel, photo(), ProofKind.RECEIPT)
    assert held.call_count == 2


def test_photographs_and_receipts_are_kept_by_their_content(owner: Client, packed: Order) -> None:
    for data, media in ((photo(), "jpg"), (photo(kind="PNG"), "png"), (receipt(), "pdf")):
        keep(owner, data)
        row = ProofFile.objects.get(media=media)
        assert row.path.name == f"{hashlib.sha256(data).hexdigest()}.{media}"
        answer = owner.get(reverse("proof-file", args=[row.pk]))
        assert b"".join(answer.streaming_content) == data  # type: ignore[attr-defined]
        assert answer["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "empty"),
        (b"MZ not a picture", "no JPEG, PNG or PDF"),
        (b"<svg onload=alert(1)>", "no JPEG, PNG or PDF"),
        (photo()[:200], "damaged"),
        (b"%PDF-1.7 and no more", "damaged"),
        (b"\xff\xd8\xff" + bytes(proof.MOST_BYTES), "at most 8 MB"),
    ],
)
def test_files_that_are_none_are_refused_and_leave_nothing(
    owner: Client, packed: Order, data: bytes, sentence: str, settings: Any
) -> None:
    answer = keep(owner, data)
    assert answer.status_code == 400
    page = answer.content.decode()
    assert sentence in page, page[page.find('class="error"') :][:300]
    assert not ProofFile.objects.exists()
    assert not Path(settings.PROOF_DIR).exists()


def test_the_same_file_is_kept_once_and_not_more_than_twenty(owner: Client, packed: Order, monkeypatch: Any) -> None:
    keep(owner, photo())
    assert "kept with the parcel already" in keep(owner, photo()).content.decode()
    monkeypatch.setattr(proof, "MOST_FILES", 1)
    assert "at most 1 files" in keep(owner, photo("blue")).content.decode()
    assert ProofFile.objects.count() == 1


def test_the_claim_file_holds_record_files_and_their_hashes(owner: Client, packed: Order) -> None:
    store(owner)
    keep(owner, photo(), "damage")
    data = owner.get(reverse("claim-file", args=[17, 1])).content
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.namelist() == ["record.txt", "01-damage.jpg", "sha256.txt"]
        record = archive.read("record.txt").decode()
        hashes = archive.read("sha256.txt").decode()
    assert "Tracking number: 1Z 999 AA1 0123456784" in record
    assert "Paid: 18.40 EUR" in record and "Declared value: 400.00 EUR" in record
    assert "Taken because: a gift went in" in record
    assert hashlib.sha256(photo()).hexdigest() in hashes
    assert owner.get(reverse("claim-file", args=[17, 1])).content == data


def test_a_file_that_is_gone_is_said_in_the_claim_file(owner: Client, packed: Order) -> None:
    keep(owner, photo())
    ProofFile.objects.get().path.unlink()
    with zipfile.ZipFile(io.BytesIO(owner.get(reverse("claim-file", args=[17, 1])).content)) as archive:
        assert "missing  01-receipt.jpg" in archive.read("sha256.txt").decode()
    assert owner.get(reverse("proof-file", args=[ProofFile.objects.get().pk])).status_code == 404


def test_the_claim_file_has_the_newest_paper_of_each_kind_and_names_those_put_away(
    owner: Client, packed: Order, settings: Any, tmp_path: Path
) -> None:
    settings.PAPERS_DIR = tmp_path
    shared = {"plan": only_plan(packed), "made_from_hash": "a" * 64}
    for number, size in (("1", "A4"), ("2", "A4"), ("3", "Letter")):
        made = Document.objects.create(kind="slip", page_size=size, sha256=number * 64, **shared)
        if number != "3":
            made.path.write_bytes(f"paper {number}".encode())
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        data = owner.get(reverse("claim-file", args=[17, 1])).content
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.namelist() == ["record.txt", "paper-slip-A4.pdf", "sha256.txt"]
        assert archive.read("paper-slip-A4.pdf") == b"paper 2"
        assert "missing  paper-slip-Letter.pdf" in archive.read("sha256.txt").decode()


def test_a_paper_that_was_put_away_is_printed_again_for_the_claim(packed: Order, settings: Any, tmp_path: Path) -> None:
    settings.PAPERS_DIR = tmp_path
    Document.objects.create(
        plan=only_plan(packed), kind="slip", page_size="A4", sha256="1" * 64, made_from_hash="a" * 64
    )

    def again(paper: Document) -> bool:
        return bool(paper.path.write_bytes(b"again"))

    with zipfile.ZipFile(io.BytesIO(claims.claim_file(only_parcel(packed), again))) as archive:
        assert archive.read("paper-slip-A4.pdf") == b"again"


def test_a_record_tells_what_happened_to_this_parcel_and_the_order(packed: Order) -> None:
    parcel = only_parcel(packed)
    other = Parcel.objects.create(consignment=parcel.consignment, plan=parcel.plan, number=2)
    for one, why in ((parcel, "of this one"), (other, "of the other"), (None, "of the order")):
        OrderEvent.objects.create(order=packed, parcel=one, kind="sent", why=why)
    text = claims.record_text(parcel)
    assert "of this one" in text and "of the order" in text
    assert "of the other" not in text


def test_a_long_list_of_what_was_paid_takes_no_more_queries(owner: Client, packed: Order, customer: Customer) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            page = owner.get(reverse("paid")).content.decode()
        assert "18.40 EUR" in page
        return len(caught)

    store(owner)
    few = queries()
    for number in range(40, 44):
        order = Order.objects.create(customer=customer, number=number)
        consignment = Consignment.objects.create(order=order)
        parcel = Parcel.objects.create(consignment=consignment, plan=only_plan(packed))
        SentRecord.objects.create(
            parcel=parcel, carrier="UPS", handed_over_on="2026-11-27", paid=Decimal("1.10"), currency="EUR"
        )
    assert queries() == few
    assert "<strong>22.80 EUR</strong>" in owner.get(reverse("paid")).content.decode()


def test_what_was_paid_is_listed(owner: Client, packed: Order, log_in: Any) -> None:
    assert "No parcel has a record" in owner.get(reverse("paid")).content.decode()
    store(owner)
    page = owner.get(reverse("paid")).content.decode()
    assert "18.40 EUR" in page and "UPS Ground" in page
    assert log_in("packer").get(reverse("paid")).status_code == 403


def test_strangers_and_those_who_may_not_get_none_of_it(owner: Client, packed: Order, log_in: Any) -> None:
    keep(owner, photo())
    address = reverse("proof-file", args=[ProofFile.objects.get().pk])
    assert log_in("stranger").get(address).status_code == 404
    bookkeeper = log_in("bookkeeper")
    assert bookkeeper.get(reverse("sent-record", args=[17, 1])).status_code == 200
    assert store(bookkeeper).status_code == 403
    assert keep(bookkeeper, photo("blue")).status_code == 403
    assert log_in("packer").get(reverse("claim-file", args=[17, 1])).status_code == 403
