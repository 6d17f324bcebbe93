"""Shops that had carriers' rules before rules said where a service goes are told of those that came along."""

import importlib
from typing import Any

from django.apps import apps

from shop import adapter
from shop.models import RateRule, Shop

migration = importlib.import_module("shop.migrations.0019_known_services_go")


def where(shop: Any) -> Any:
    rows = RateRule.objects.filter(shop=shop).values_list("carrier", "service", "valid_from", "reach", "sent_from")
    return {row[:3]: row[3:] for row in rows}


def test_rules_that_came_along_say_where_they_go_as_they_do_in_a_new_shop(forge: Shop) -> None:
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
    told = where(forge)
    RateRule.objects.update(reach="anywhere", sent_from="", only_to="")
    migration.say_where(apps, None)
    assert where(forge) == told


def test_what_a_shop_has_said_itself_or_named_itself_is_left_alone(forge: Shop) -> None:
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
    RateRule.objects.update(reach="abroad", sent_from="NO", only_to="SE")
    RateRule.objects.filter(carrier="DHL").update(carrier="Our own", reach="anywhere", sent_from="", only_to="")
    told = where(forge)
    migration.say_where(apps, None)
    assert where(forge) == told
