"""Orders planned before there were consignments: each keeps its plan, its weigh-in and its state."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

pytestmark = [pytest.mark.both_databases, pytest.mark.django_db(transaction=True)]
BEFORE, AFTER = [("shop", "0027_orders_cut_together")], [("shop", "0030_plans_by_parcel")]
HASH = "a" * 64


def models_at(state: Any) -> Any:
    """The models of a state of the database, which is brought there."""
    executor = MigrationExecutor(connection)
    executor.migrate(state)
    return executor.loader.project_state(state).apps


@pytest.fixture
def before() -> Iterator[Any]:
    yield models_at(BEFORE)
    call_command("migrate", verbosity=0)


def an_order(apps: Any, state: str, number: int) -> Any:
    """An order planned twice; its second plan is the current one, weighed in."""
    kinds = {name: apps.get_model("shop", name) for name in ("Shop", "Customer", "Order", "BoxPlan", "Parcel", "Job")}
    shop = kinds["Shop"].objects.get_or_create(name="Old forge")[0]
    customer = kinds["Customer"].objects.create(shop=shop, name=f"Customer {number}", country="SE")
    order = kinds["Order"].objects.create(shop=shop, customer=customer, number=number, state=state)
    for _time in range(2):
        plan = kinds["BoxPlan"].objects.create(
            shop=shop, order=order, content={}, order_content={}, rules={}, code_version="0", input_hash=HASH
        )
        kinds["Parcel"].objects.create(shop=shop, order=order, plan=plan, number=1, weighed_g=1912)
    order.current_plan = plan
    order.save()
    asked = {"seconds": 2, "input": HASH, "instead_of": plan.pk}
    kinds["Job"].objects.create(shop=shop, order=order, kind="plan", payload=asked)
    kinds["Job"].objects.create(shop=shop, order=order, kind="papers", payload={"plan": plan.pk, "page_size": "A4"})
    return order, plan


@pytest.mark.parametrize(
    ("state", "parcel"), [("planned", "planned"), ("packed", "packed"), ("sent", "sent"), ("cancelled", "planned")]
)
def test_an_order_of_before_is_a_consignment_of_one_parcel_and_back(before: Any, state: str, parcel: str) -> None:
    order, plan = an_order(before, state, 17)
    now = models_at(AFTER)
    kept = now.get_model("shop", "Order").objects.get(pk=order.pk)
    (only,) = kept.consignment.parcels.all()
    assert (kept.state, only.plan_id, only.number, only.state, only.weighed_g) == (state, plan.pk, 1, parcel, 1912)
    assert now.get_model("shop", "Consignment").objects.count() == 2
    jobs = now.get_model("shop", "Job").objects
    assert jobs.get(kind="plan").payload["instead_of"] == [plan.pk]
    assert jobs.get(kind="papers").payload == {"plans": [plan.pk], "page_size": "A4"}
    back = models_at(BEFORE).get_model("shop", "Order").objects.get(pk=order.pk)
    assert (back.current_plan_id, back.parcels.count()) == (plan.pk, 2)
