"""The rack with many pieces: page by page, each piece once, in as many queries whatever there is."""

import re
from collections.abc import Iterable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Piece, Product
from shop.presenters.rack import A_PAGE
from shop.services.numbering import NumberRun, gaps_of, stamped_in, written
from tests.shop.conftest import make_piece, make_product

LABEL = re.compile(r'aria-label="(\w+-\d+)"')


def fill(product: Product, numbers: Iterable[int]) -> None:
    """Pieces with these numbers, all alike."""
    lowest, *others = numbers
    first = make_piece(product, lowest)
    columns = [one.attname for one in Piece._meta.concrete_fields if not one.primary_key]
    alike = {name: getattr(first, name) for name in columns}
    Piece.objects.bulk_create(Piece(**{**alike, "number": number}) for number in others)


def walk(client: Client, query: str = "") -> list[str]:
    """Each page of the rack, by its own links."""
    pages, address = [], f"/rack/?{query}"
    while address:
        pages.append(client.get(address).content.decode())
        onward = re.search(r'href="(\?[^"]*after=[^"]*)">Further pieces', pages[-1])
        address = f"/rack/{onward[1].replace('&amp;', '&')}" if onward else ""
    return pages


@pytest.fixture
def bench(log_in: Any) -> Any:
    return log_in("packer")


@pytest.fixture
def many(product: Product, other_product: Product) -> list[str]:
    """Labels of pieces on three pages and more: of one product too many for a page, of others a few; one has none."""
    third, _empty = make_product(product.series, code="AA100"), make_product(product.series, code="BB100")
    numbers: dict[Product, Iterable[int]] = {
        product: [*range(1, 71), *range(75, 151)],
        other_product: [2, 3],
        third: range(4, 50),
    }
    for one, own in numbers.items():
        fill(one, own)
    return sorted(f"{one.code}-{number:03d}" for one, own in numbers.items() for number in own)


def test_every_piece_is_on_one_page_and_in_order(bench: Client, many: list[str]) -> None:
    pages = walk(bench)
    found = [LABEL.findall(page) for page in pages]
    assert [label for page in found for label in page] == many
    assert [len(page) for page in found[:-1]] == [A_PAGE] * (len(pages) - 1)


def test_gaps_and_empty_products_are_shown_once(bench: Client, many: list[str]) -> None:
    pages = "".join(walk(bench))
    assert re.findall(r"<span>(.*?) never stamped</span>", pages) == ["1–3", "71–74", "1"]
    assert pages.count("No piece has been entered yet.") == 1


def test_counts_are_of_the_whole_product(bench: Client, many: list[str], product: Product) -> None:
    Piece.objects.filter(product=product, number=3).update(state="scrapped", reason="cracked")
    for page in walk(bench, f"product={product.pk}"):
        assert "145 on the rack" in page and "never stamped: 71–74" in page


@pytest.mark.parametrize(
    ("query", "expected"),
    [("number=AA", "AA100-"), ("number=aa100-7", "AA100-007"), ("number=spare", ""), ("number=%C2%B2", "")],
)
def test_the_rack_is_searched_as_it_is_typed(bench: Client, many: list[str], query: str, expected: str) -> None:
    found = [label for page in walk(bench, query) for label in LABEL.findall(page)]
    assert found == [label for label in many if expected and label.startswith(expected)]


def test_a_filter_goes_along_to_the_next_page(bench: Client, many: list[str], product: Product) -> None:
    Piece.objects.filter(product=product, number__lte=65).update(state="kept back", reason="for the fair")
    found = [label for page in walk(bench, "state=kept+back") for label in LABEL.findall(page)]
    assert found == [label for label in many if label.startswith(product.code)][:65]


def test_series_and_pattern_are_asked_for(bench: Client, many: list[str], product: Product, other_product: Any) -> None:
    found = [label for page in walk(bench, f"pattern={other_product.pattern_id}") for label in LABEL.findall(page)]
    assert found and all(Product.objects.get(code=label[:5]).pattern_id == other_product.pattern_id for label in found)
    assert walk(bench, f"series={product.series_id}")


@pytest.mark.parametrize("after", ["x", "~", "CH125~x", "CH125~99999999999999999999", "ZZ~1", "²~²"])
def test_a_place_that_means_nothing_does_no_harm(bench: Client, many: list[str], after: str) -> None:
    assert bench.get("/rack/", {"after": after}).status_code == 200


def test_thousands_of_pieces_ask_no_more_of_the_database(bench: Client, product: Product) -> None:
    counts, sizes = [], []
    for numbers in (range(1, 21), range(21, 4001, 2)):
        fill(product, numbers)
        bench.get("/rack/")
        with CaptureQueriesContext(
            connection,
        ) as asked:
            page = bench.get("/rack/").content
        counts.append(len(asked))
        sizes.append(len(page))
    assert counts[1] <= counts[0] + 1
    assert sizes[1] < 300_000


def test_gaps_and_runs_of_numbers(product: Product, other_product: Product) -> None:
    fill(product, [2, 3, 6, 9])
    gaps = gaps_of([product.pk, other_product.pk])
    assert gaps[product.pk] == [NumberRun(1, 1), NumberRun(4, 5), NumberRun(7, 8)]
    assert other_product.pk not in gaps
    assert written(gaps[product.pk]) == "1, 4, 5, 7, 8"
    assert written(stamped_in(product.pk, gaps[product.pk])) == "2, 3, 6, 9"
    assert written(stamped_in(other_product.pk, [])) == ""
    assert written([NumberRun(1, 3), NumberRun(5, 5)], most=1) == "1–3, …"
