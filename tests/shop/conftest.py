"""The fixed cast: an owner, a packer and a bookkeeper of one forge, a stranger from another; and their rows."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.models import (
    Block,
    Customer,
    Lot,
    Membership,
    Order,
    OrderLine,
    Pattern,
    Piece,
    Product,
    ProductSet,
    Series,
    SetMember,
    SheetRow,
    Shop,
    User,
)
from shop.services import jobs

HAMMER_MM = {
    "head_length": Decimal("105"),
    "head_height": Decimal("42"),
    "head_width": Decimal("42"),
    "eye_offset": Decimal("52.5"),
    "handle_length": Decimal("250"),
    "handle_width": Decimal("33"),
    "handle_thickness": Decimal("23"),
}


@pytest.fixture(autouse=True)
def _quick_passwords(settings: Any) -> None:
    """Hashing is slow on purpose; here it protects nothing."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _one_thread_at_the_database(monkeypatch: pytest.MonkeyPatch) -> None:
    """A job at work does not look whether it was cancelled: SQLite in memory lets no other thread read meanwhile."""
    monkeypatch.setattr(jobs, "LOOK_EVERY_S", 3600.0)


@pytest.fixture
def forge(db: Any) -> Any:
    return Shop.objects.create(name="Test forge")


@pytest.fixture
def other_forge(db: Any) -> Any:
    return Shop.objects.create(name="Other forge")


def _member(shop: Any, name: Any, role: Any) -> Any:
    user = User.objects.create_user(username=name, password="anvil-and-tongs")
    Membership.objects.create(shop=shop, user=user, role=role)
    return user


@pytest.fixture
def owner(forge: Shop) -> Any:
    return _member(forge, "owner", "owner")


@pytest.fixture
def packer(forge: Shop) -> Any:
    return _member(forge, "packer", "packer")


@pytest.fixture
def bookkeeper(forge: Shop) -> Any:
    return _member(forge, "bookkeeper", "bookkeeper")


@pytest.fixture
def stranger(other_forge: Any) -> Any:
    return _member(other_forge, "stranger", "owner")


@pytest.fixture
def series(forge: Shop) -> Any:
    lot = Lot.objects.create(shop=forge, name="Bar 7", received_kg=Decimal("80"), left_kg=Decimal("31"))
    return Series.objects.create(lot=lot, name="First heat")


def make_product(series: Any, code: Any, *, form: str = "hammer", sharp: str = "none", head_g: str = "1000") -> Any:
    pattern, _ = Pattern.objects.get_or_create(shop=series.shop, name=code[:2], form=form, sharp=sharp)
    return Product.objects.create(series=series, pattern=pattern, code=code, name=code, head_weight_g=Decimal(head_g))


def make_piece(product: Any, number: Any, **values: Any) -> Any:
    measures = {**HAMMER_MM, "weight_g": Decimal("1440"), "measured_at": dt.datetime(2026, 3, 7, tzinfo=dt.UTC)}
    return Piece.objects.create(product=product, number=number, **{**measures, **values})


@pytest.fixture
def product(series: Any) -> Any:
    return make_product(series, "CH125")


@pytest.fixture
def piece(product: Product) -> Any:
    return make_piece(product, 7)


@pytest.fixture
def other_product(series: Any) -> Any:
    return make_product(series, "SP080", head_g="800")


@pytest.fixture
def pair(series: Any, product: Product, other_product: Any) -> Any:
    """A set of two products."""
    row = ProductSet.objects.create(series=series, name="Pair")
    for member in (product, other_product):
        SetMember.objects.create(product_set=row, product=member)
    return row


@pytest.fixture
def wax(forge: Shop) -> Any:
    return Block.objects.create(
        shop=forge,
        name="wax",
        length=Decimal(70),
        width=Decimal(70),
        height=Decimal(30),
        weight_g=Decimal(120),
        upright=True,
    )


@pytest.fixture
def customer(forge: Shop) -> Any:
    return Customer.objects.create(shop=forge, name="A. Carpenter", address="1 Plane Street\nTown", country="SE")


@pytest.fixture
def order(customer: Customer) -> Any:
    return Order.objects.create(customer=customer, number=17)


@pytest.fixture
def line(order: Order, product: Product) -> Any:
    return OrderLine.objects.create(order=order, product=product, unit_price=Decimal("145"))


@pytest.fixture
def stocked(forge: Shop) -> Any:
    """Our forge with the rows that a new shop starts with, but for sheets: each test lays in its own."""
    for kind, rows in adapter.stock_to_start_with().items():
        if kind is SheetRow:
            continue
        for row in rows:
            kind._default_manager.create(shop=forge, **row)
    return forge
