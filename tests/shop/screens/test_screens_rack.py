"""The rack, one piece, and measuring at the bench."""

import html
import re
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.forms import NewPieceForm
from shop.models import (
    MEASURES,
    Lot,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    Reading,
    Series,
    Shop,
    User,
)
from shop.services import allocation
from tests.helpers import instance, matched
from tests.shop.conftest import HAMMER_MM, make_piece, make_product

TYPED = {
    **{name: str(value) for name, value in HAMMER_MM.items()},
    "weight_g": "1440",
    "length_unit": "mm",
    "weight_unit": "g",
    "mark": "face_left",
}


@pytest.fixture
def bench(log_in: Any) -> Any:
    return log_in("packer")


def enter(client: Any, product: Any, **changes: Any) -> Any:
    return client.post(reverse("new-piece"), {**TYPED, "product": product.pk, "number": "12", **changes})


def measure(client: Any, piece: Any, **changes: Any) -> Any:
    return client.post(reverse("measure", args=[piece.pk]), {**TYPED, **changes})


def test_the_rack_shows_gaps_in_the_numbers_where_they_are(bench: Client, product: Product) -> None:
    for number in (2, 3, 6):
        make_piece(product, number)
    page = bench.get("/rack/").content.decode()
    assert re.findall(r"<span>(.*?) never stamped</span>", page) == ["1", "4, 5"]
    assert "never stamped: 1, 4, 5" in page


def test_the_rack_shows_who_holds_a_piece(bench: Client, ready: Order) -> None:
    assert "order 17, A. Carpenter" in bench.get("/rack/").content.decode()


def test_the_rack_shows_why_a_piece_is_off_it(bench: Client, piece: Piece) -> None:
    Piece.objects.update(state="scrapped", reason="cracked at the eye")
    assert "cracked at the eye" in bench.get("/rack/").content.decode()


def labels(client: Any, query: Any) -> Any:
    return re.findall(r'aria-label="(\w+-\d+)"', client.get(f"/rack/?{query}").content.decode())


def test_the_rack_is_filtered_by_product_state_and_number(bench: Client, product: Product, other_product: Any) -> None:
    make_piece(product, 7)
    make_piece(other_product, 7)
    make_piece(product, 8, state="kept back", reason="for the museum")
    assert labels(bench, f"product={product.pk}") == ["CH125-007", "CH125-008"]
    assert labels(bench, "state=kept+back") == ["CH125-008"]
    assert labels(bench, "number=7") == ["CH125-007", "SP080-007"]


@pytest.mark.parametrize(
    "query", ["product=x&state=lost&number=-1", "product=²&number=²", "number=99999999999999999999"]
)
def test_a_filter_that_means_nothing_does_no_harm(bench: Client, piece: Piece, query: Any) -> None:
    assert bench.get(f"/rack/?{query}").status_code == 200


def test_a_new_piece_is_measured_and_put_on_the_rack(bench: Client, product: Product) -> None:
    answer = enter(bench, product)
    made = Piece.objects.get()
    assert answer.url == reverse("piece", args=[made.pk])
    assert (made.label, made.state, made.mark) == ("CH125-012", "rack", "face_left")


def test_the_next_piece_of_the_product_follows_at_once(bench: Client, product: Product) -> None:
    answer = enter(bench, product, next="1")
    assert answer.url == f"{reverse('new-piece')}?product={product.pk}"
    assert "On record: 12." in bench.get(answer.url).content.decode()


def test_a_piece_is_measured_in_sixteenths(bench: Client, product: Product) -> None:
    inches = {"head_length": "4 5/8", "head_height": "1 11/16 in", "head_width": "1,6875", "eye_offset": ""}
    handle = {"handle_length": "10", "handle_width": "1 1/4", "handle_thickness": "7/8"}
    units = {"length_unit": "in", "weight_unit": "lb", "weight_g": "3 lb 2 oz"}
    assert enter(bench, product, **inches, **handle, **units).status_code == 302
    made = Piece.objects.get()
    assert (made.head_length, made.typed["head_length"]) == (Decimal("117.475"), "4 5/8")
    assert (made.measured_in, made.weighed_in) == ("in", "lb")
    assert f"{made.weight_g:.2f}" == "1417.48"


def test_an_impossible_measure_is_refused_beside_its_field_and_kept(bench: Client, product: Product) -> None:
    answer = enter(bench, product, handle_width="120")
    page = answer.content.decode()
    assert answer.status_code == 400
    assert 'id="id_handle_width_error">Handle width: 120 mm is wider than the head is long (105 mm).' in page
    assert 'value="120"' in page
    assert not Piece.objects.exists()


def test_an_unreadable_measure_is_refused_with_what_was_typed(bench: Client, product: Product) -> None:
    page = enter(bench, product, head_length="4 5/8 ells").content.decode()
    assert "Head length: " in page
    assert "ells" in page[page.index("id_head_length_error") :]


@pytest.mark.parametrize("name", [name for name in MEASURES if name != "eye_offset"])
def test_a_missing_measure_is_asked_for(bench: Client, product: Product, name: Any) -> None:
    assert f'id="id_{name}_error"' in enter(bench, product, **{name: ""}).content.decode()


def test_an_eye_offset_left_out_is_the_middle(bench: Client, product: Product) -> None:
    enter(bench, product, eye_offset="")
    page = bench.get(reverse("piece", args=[Piece.objects.get().pk])).content.decode()
    assert "the middle" in page


def test_a_possible_but_unusual_weight_waits_for_a_tick(bench: Client, product: Product) -> None:
    page = enter(bench, product, weight_g="700").content.decode()
    assert "Possible, but not usual." in page
    assert 'name="confirmed"' in page
    assert not Piece.objects.exists()
    enter(bench, product, weight_g="700", confirmed="on")
    assert Piece.objects.get().confirmed


def test_usual_measures_are_not_asked_to_be_confirmed(bench: Client, product: Product) -> None:
    assert b'name="confirmed"' not in bench.get(reverse("new-piece")).content


def test_a_tick_does_not_make_the_impossible_possible(bench: Client, product: Product) -> None:
    assert enter(bench, product, weight_g="9000", confirmed="on").status_code == 400


def test_a_number_is_never_given_twice(bench: Client, product: Product, piece: Piece) -> None:
    page = enter(bench, product, number="7").content.decode()
    assert "CH125-007 is already on record: it is on the rack. A number is never given twice." in page


@pytest.mark.parametrize("number", ["0", "-1", "1.5", "seven", "100000"])
def test_what_is_no_number_is_refused(bench: Client, product: Product, number: Any) -> None:
    assert 'id="id_number_error"' in enter(bench, product, number=number).content.decode()


def test_what_is_unusual_is_told_in_the_words_of_the_screen(bench: Client, product: Product) -> None:
    page = enter(bench, product, weight_g="700").content.decode()
    assert "The head fills" in page
    assert "check weight (700 g)" in page


def test_what_is_impossible_is_told_in_the_units_it_was_typed_in(bench: Client, product: Product) -> None:
    inches = {"length_unit": "in", "weight_unit": "lb", **dict.fromkeys(MEASURES, "2"), "weight_g": "3 lb"}
    page = enter(bench, product, **{**inches, "handle_width": "6", "eye_offset": "1"}).content.decode()
    assert "6 in is wider than the head is long (2 in)" in page


@pytest.fixture
def axe(series: Any) -> Any:
    return make_product(series, "AX070", form="axe", sharp="far", head_g="700")


AXE = {"head_length": "165", "head_height": "95", "head_width": "28", "eye_offset": "60", "weight_g": "920"}


def test_an_axe_is_measured_with_its_edge_guard_on(bench: Client, axe: Any) -> None:
    page = enter(bench, axe, **AXE).content.decode()
    assert "A tool with an edge is measured with its edge guard on." in page
    assert enter(bench, axe, **AXE, edge_guard_on="on").status_code == 302
    assert Piece.objects.get().edge_guard_on


def test_the_screen_reminds_of_the_edge_guard_only_where_there_is_an_edge(
    bench: Client, axe: Any, product: Product
) -> None:
    assert b"Edge guard on." in bench.get(f"/rack/new/?product={axe.pk}").content
    assert b"Edge guard on." not in bench.get(f"/rack/new/?product={product.pk}").content


@pytest.mark.parametrize(("form", "word"), [("hammer", "peen"), ("axe", "poll"), ("adze", "poll"), ("mallet", "face")])
def test_the_drawing_has_the_shape_of_the_form(bench: Client, product: Product, form: Any, word: Any) -> None:
    Pattern.objects.update(form=form)
    page = bench.get(f"/rack/new/?product={product.pk}").content.decode()
    drawing = page[page.index("data-drawing") : page.index("</svg>", page.index("data-drawing"))]
    assert f">{word}</text>" in drawing


def test_every_measure_has_a_letter_in_the_drawing_and_beside_its_field(bench: Client, piece: Piece) -> None:
    page = bench.get(reverse("measure", args=[piece.pk])).content.decode()
    for letter, name in zip("ABCDEFG", MEASURES, strict=True):
        mark = page[page.index(f'data-measure="{name}"') :]
        assert f">{letter}</text>" in mark[: mark.index("</g>")]
        assert f'<label for="id_{name}"><span class="ring">{letter}</span>' in page


@pytest.mark.parametrize(("unit", "mode"), [("mm", "decimal"), ("in", "text")])
def test_the_keyboard_has_what_the_unit_needs(
    bench: Client, packer: User, product: Product, unit: Any, mode: Any
) -> None:
    packer.length_unit = unit
    packer.save()
    page = bench.get(reverse("new-piece")).content.decode()
    field = matched(r'<input[^>]*name="head_length"[^>]*>', page).group()
    assert f'inputmode="{mode}"' in field


def test_a_piece_is_measured_again_with_what_was_typed_before(bench: Client, product: Product) -> None:
    enter(bench, product, head_length="105,25")
    piece = Piece.objects.get()
    assert b'value="105,25"' in bench.get(reverse("measure", args=[piece.pk])).content
    measure(bench, piece, head_length="106")
    piece.refresh_from_db()
    assert piece.head_length == 106


def test_a_refused_measuring_changes_nothing(bench: Client, piece: Piece) -> None:
    measure(bench, piece, handle_width="500")
    piece.refresh_from_db()
    assert piece.handle_width == 33


def test_a_product_of_another_shop_is_not_measured(bench: Client, product: Product, other_forge: Any) -> None:
    type(product).objects.update(shop=other_forge)
    assert 'id="id_product_error"' in enter(bench, product).content.decode()
    assert b"CH125" not in bench.get(f"/rack/new/?product={product.pk}").content


def read(client: Any, piece: Any, **changes: Any) -> Any:
    data = {"when": "after", "place": "face", "value": "54,5", "scale": "hrc", **changes}
    return client.post(reverse("add-reading", args=[piece.pk]), data)


def test_a_hardness_reading_is_noted_with_who_took_it(bench: Client, piece: Piece) -> None:
    read(bench, piece)
    reading = Reading.objects.get()
    assert (str(reading.value), reading.scale, reading.when, reading.by) == ("54.5", "HRC", "after", "packer")
    assert "54.5 HRC" in bench.get(reverse("piece", args=[piece.pk])).content.decode()


@pytest.mark.parametrize("value", ["71", "19.9", "0", "-54", "soft", ""])
def test_a_reading_off_the_scale_is_refused(bench: Client, piece: Piece, value: Any) -> None:
    assert read(bench, piece, value=value).status_code == 400
    assert not Reading.objects.exists()


@pytest.mark.parametrize("scale", ["<B>ZZ", "RC", "54", "H"])
def test_a_scale_nobody_has_a_name_for_is_refused(bench: Client, piece: Piece, scale: Any) -> None:
    assert "A scale is called as on the tester" in read(bench, piece, scale=scale).content.decode()


@pytest.mark.parametrize("scale", ["HRC", "hv10", "HBW 10/500", "HLD"])
def test_scales_are_known_by_their_standard_names(bench: Client, piece: Piece, scale: Any) -> None:
    read(bench, piece, scale=scale)
    assert Reading.objects.get().scale == scale.upper()


@pytest.mark.parametrize("value", ["1e1", "NaN", "54.5.1", "5 4"])
def test_a_value_that_is_no_plain_number_is_refused(bench: Client, piece: Piece, value: Any) -> None:
    assert "Must be a number, such as 1.5." in read(bench, piece, value=value).content.decode()


def test_a_reading_noted_by_mistake_is_struck_out(bench: Client, piece: Piece) -> None:
    read(bench, piece)
    answer = bench.post(reverse("strike-reading", args=[piece.pk, Reading.objects.get().pk]), follow=True)
    assert "Struck out: 54.5 HRC, face." in answer.content.decode()
    assert not Reading.objects.exists()


def test_a_sent_piece_is_said_to_be_sent_and_is_not_measured_again(
    at_the_bench: Client, packed: Order, piece: Piece
) -> None:
    Order.objects.update(state="sent")
    Piece.objects.update(state="sent")
    page = at_the_bench.get(reverse("piece", args=[piece.pk])).content.decode()
    assert "Sent with" in page
    assert "Measure again" not in page
    assert "is sent: its measures stay" in measure(at_the_bench, piece).content.decode()


def test_a_piece_on_an_order_is_said_to_be_put_back_before_it_is_scrapped(
    at_the_bench: Client, ready: Order, piece: Piece
) -> None:
    assert "put it back there first" in at_the_bench.get(reverse("piece", args=[piece.pk])).content.decode()


def test_a_reading_off_the_rockwell_scale_is_told_its_range(bench: Client, piece: Piece) -> None:
    assert "HRC is read from 20 to 70, not 71." in read(bench, piece, value="71").content.decode()


def test_a_piece_is_retired_with_a_reason_and_brought_back(at_the_bench: Client, piece: Piece) -> None:
    at_the_bench.post(reverse("retire", args=[piece.pk]), {"state": "scrapped", "reason": "cracked"})
    piece.refresh_from_db()
    assert (piece.state, piece.reason) == ("scrapped", "cracked")
    at_the_bench.post(reverse("bring-back", args=[piece.pk]))
    piece.refresh_from_db()
    assert piece.state == "rack"


def test_a_piece_is_not_retired_without_a_reason(at_the_bench: Client, piece: Piece) -> None:
    answer = at_the_bench.post(reverse("retire", args=[piece.pk]), {"state": "scrapped", "reason": " "})
    assert answer.status_code == 400
    assert 'id="id_reason_error"' in answer.content.decode()


def test_a_piece_held_for_an_order_is_not_retired(at_the_bench: Client, ready: Order, piece: Piece) -> None:
    answer = at_the_bench.post(reverse("retire", args=[piece.pk]), {"state": "scrapped", "reason": "cracked"})
    assert answer.status_code == 400
    assert "cannot be marked scrapped" in answer.content.decode()


def test_a_piece_shows_where_it_has_been(at_the_bench: Client, ready: Order, piece: Piece) -> None:
    page = at_the_bench.get(reverse("piece", args=[piece.pk])).content.decode()
    assert "Held for" in page
    assert "17, A. Carpenter" in page


def test_lots_show_how_much_steel_is_left_as_an_estimate(bench: Client, piece: Piece) -> None:
    page = bench.get("/steel/").content.decode()
    assert "About 31 kg of 80 kg left" in page.replace("\N{NO-BREAK SPACE}", " ")
    assert "(estimate)" in page


@pytest.mark.parametrize(("received", "left"), [(0, 0), (10, 0), (10, 25), (0, 5)])
def test_any_lot_can_be_drawn(bench: Client, series: Any, received: Any, left: Any) -> None:
    type(series.lot).objects.update(received_kg=received, left_kg=left)
    assert bench.get("/steel/").status_code == 200


@pytest.fixture
def sent(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    Order.objects.update(state="sent")
    Piece.objects.update(state="sent")
    return piece


def test_a_piece_comes_back_for_repair_and_goes_back_to_its_holder(bench: Client, sent: Any) -> None:
    taken = bench.post(reverse("take-in-for-repair", args=[sent.pk]), {"why": "handle cracked"}, follow=True)
    page = taken.content.decode()
    assert "CH125-007: in for repair." in page
    assert "it belongs to the customer of" in page
    given = bench.post(reverse("give-back", args=[sent.pk]), {"why": "new handle"}, follow=True).content.decode()
    for told in ("CH125-007 has gone back to its holder.", "handle cracked", "new handle", "packer", "Sent with"):
        assert told in given


def test_a_repair_without_a_reason_is_asked_for_it(bench: Client, sent: Any) -> None:
    answer = bench.post(reverse("take-in-for-repair", args=[sent.pk]), {"why": ""})
    assert answer.status_code == 400
    assert "Give the reason: it stays on record." in answer.content.decode()


def test_a_piece_on_the_rack_is_not_offered_a_repair(bench: Client, piece: Piece) -> None:
    page = bench.get(reverse("piece", args=[piece.pk])).content.decode()
    assert reverse("take-in-for-repair", args=[piece.pk]) not in page
    answer = bench.post(reverse("take-in-for-repair", args=[piece.pk]), {"why": "handle cracked"}, follow=True)
    assert "CH125-007 is on the rack and cannot be marked in for repair." in answer.content.decode()


def test_a_new_piece_scanned_under_another_product_is_refused_with_both(
    bench: Client, product: Product, other_product: Any
) -> None:
    answer = enter(bench, product, number="SP080-012")
    assert answer.status_code == 400
    assert "SP080-012 is SP080 SP080; the product chosen is CH125 CH125." in answer.content.decode()
    assert not Piece.objects.exists()


def test_the_rack_is_searched_by_code_and_number_as_scanned(bench: Client, piece: Piece, other_product: Any) -> None:
    make_piece(other_product, 7)
    page = bench.get("/rack/?number=ch125-007").content.decode()
    assert "CH125-007" in page
    assert "SP080-007" not in page


def test_a_reading_struck_out_stays_on_record_with_the_piece(bench: Client, piece: Piece) -> None:
    reading = Reading.objects.create(piece=piece, place="face", value="54.5")
    page = bench.post(reverse("strike-reading", args=[piece.pk, reading.pk]), follow=True).content.decode()
    assert "reading struck out: 54.5 HRC, face" in page
    assert not piece.readings.exists()


def test_a_mistyped_number_is_put_right_on_the_pieces_screen(bench: Client, piece: Piece) -> None:
    data = {"number": "CH125-17", "why": "typed 7, stamped 17"}
    page = bench.post(reverse("correct-number", args=[piece.pk]), data, follow=True).content.decode()
    assert "CH125-007 is CH125-017 now." in page
    assert "number corrected from 7 to 17" in page
    assert "typed 7, stamped 17" in page


def test_a_number_is_not_put_right_without_a_reason_or_to_another_product(
    bench: Client, piece: Piece, other_product: Any
) -> None:
    answer = bench.post(reverse("correct-number", args=[piece.pk]), {"number": "SP080-17", "why": ""})
    assert answer.status_code == 400
    page = answer.content.decode()
    assert "Give the reason: it stays on record." in page
    assert "SP080-017 is SP080 SP080; this piece is CH125 CH125." in page
    piece.refresh_from_db()
    assert piece.number == 7


def test_what_is_far_from_its_brothers_is_asked_about_in_the_readers_units_and_then_stored(
    bench: Client, product: Product
) -> None:
    for number in (1, 2):
        make_piece(product, number)
    piece = make_piece(product, 3)
    changes = {"length_unit": "in", "weight_unit": "lb", "handle_length": "36", "head_length": "4 1/8"}
    inches = dict.fromkeys(("head_height", "head_width"), "1 5/8") | {"eye_offset": "", "handle_width": "1 5/16"}
    changes |= {**inches, "handle_thickness": "7/8", "weight_g": "3 lb 2 oz"}
    page = measure(bench, piece, **changes).content.decode()
    assert "Handle length 36 in: the 2 others of CH125 have about 9 13/16 in." in page.replace("\u00a0", " ")
    piece.refresh_from_db()
    assert piece.handle_length == 250
    assert measure(bench, piece, **changes, confirmed="on").status_code == 302


def form_of(page: Any) -> NewPieceForm:
    return instance(NewPieceForm, page.context["form"])


def test_the_next_number_is_proposed_and_the_first_measure_has_the_cursor(bench: Client, product: Product) -> None:
    assert form_of(bench.get(f"{reverse('new-piece')}?product={product.pk}"))["number"].value() == 1
    make_piece(product, 3)
    page = bench.get(f"{reverse('new-piece')}?product={product.pk}")
    assert form_of(page)["number"].value() == 4
    assert 'data-following="4"' in page.content.decode()
    first = re.search(r"<input[^>]* autofocus[^>]*>", page.content.decode())
    assert first is not None
    assert 'name="head_length"' in first.group()
    assert "autofocus" not in bench.get(reverse("new-piece")).content.decode()


def test_a_piece_begins_with_the_lengths_of_the_last_and_never_its_weights(bench: Client, product: Product) -> None:
    last = make_piece(product, 3, measured_in="mm")
    page = bench.get(f"{reverse('new-piece')}?product={product.pk}")
    link = f"?product={product.pk}&amp;like={last.pk}"
    assert link in page.content.decode()
    begun = form_of(bench.get(reverse("new-piece") + html.unescape(link)))
    assert begun["head_length"].value() == "105 mm"
    assert begun["length_unit"].value() == "mm"
    assert not begun["weight_g"].value()


def test_lengths_that_are_all_still_the_last_pieces_are_asked_about(bench: Client, product: Product) -> None:
    last = make_piece(product, 3)
    lengths = {name: f"{value.normalize():f}" for name, value in HAMMER_MM.items()}
    answer = enter(bench, product, **lengths, like=str(last.pk))
    assert "Every length is still that of CH125-003." in answer.content.decode()
    assert not Piece.objects.filter(number=12).exists()
    assert enter(bench, product, **{**lengths, "head_length": "106"}, like=str(last.pk)).status_code == 302


def test_another_shops_piece_is_no_brother(bench: Client, product: Product, other_forge: Shop) -> None:
    lot = Lot.objects.create(shop=other_forge, name="Bar", received_kg=1, left_kg=1)
    theirs = make_piece(make_product(Series.objects.create(lot=lot, name="Theirs"), "ZZ100"), 1)
    page = bench.get(f"{reverse('new-piece')}?product={theirs.product.pk}&like={theirs.pk}")
    assert form_of(page)["head_length"].value() in (None, "")
