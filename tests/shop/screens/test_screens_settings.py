"""The shop's settings, its members, and each person's own units."""

import re
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop import adapter
from shop.adapter.stock import joinery_of
from shop.forms import BandFormSet, SettingsForm, units_in
from shop.models import BoardRow, Membership, RateRule, Shop, User, WoodRow, inch_plan_rules
from tests.helpers import present
from tests.shop.planned import only_plan
from tests.shop.screens.page_forms import forms_of


@pytest.fixture
def typed(forge: Shop) -> Any:
    """The settings form as it stands when the owner opens it."""
    form = SettingsForm(instance=forge)
    bands = BandFormSet(prefix="bands", initial=form.bands(), form_kwargs={"units": units_in(forge)})
    data = {name: "" if form[name].value() is None else form[name].value() for name in form.fields}
    data["sheets"] = "12, 25, 50"
    data |= {f"bands-{name}": bands.management_form[name].value() for name in bands.management_form.fields}
    for number, band in enumerate(form.bands()):
        data |= {f"bands-{number}-{name}": "" if value is None else value for name, value in band.items()}
    return data


def store(client: Any, typed: Any, **changes: Any) -> Any:
    return client.post(reverse("settings"), {**typed, **{name.replace("__", "-"): v for name, v in changes.items()}})


def test_settings_stored_as_they_stand_change_no_rule(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    before = forge.plan_rules
    assert store(at_the_bench, typed).status_code == 302
    forge.refresh_from_db()
    assert forge.plan_rules == before


def test_a_rule_may_be_typed_in_inches(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    store(at_the_bench, typed, sheets="1/2 in, 1 in, 2 in", bands__0__web="1 in")
    forge.refresh_from_db()
    assert forge.plan_rules["sheets"] == [12.7, 25.4, 50.8]
    assert forge.plan_rules["by_head"][0]["web"] == 25.4


def test_rules_that_are_off_are_switched_on_in_any_unit_and_off_again(
    at_the_bench: Client, forge: Shop, typed: Any
) -> None:
    switched = {"sharp_wall": "2 in", "max_layer_g": "6 kg", "max_gross_g": "40 lb"}
    switched |= {"stiff_sheet": "1/4 in", "max_interior": "36 in, 400, 300"}
    store(at_the_bench, typed, **switched)
    forge.refresh_from_db()
    on = {name: forge.plan_rules[name] for name in switched}
    assert on == {
        "sharp_wall": 50.8,
        "max_layer_g": 6000,
        "max_gross_g": 18143.69,
        "stiff_sheet": 6.35,
        "max_interior": [914.4, 400, 300],
    }
    store(at_the_bench, typed, **dict.fromkeys(switched, ""))
    forge.refresh_from_db()
    assert not set(on) & set(forge.plan_rules)


def test_how_much_higher_a_layer_may_be_is_typed_too(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    assert typed["layer_spare"] == "6"
    store(at_the_bench, typed, layer_spare="1/8 in")
    forge.refresh_from_db()
    assert forge.plan_rules["layer_spare"] == 3.18


def test_a_shop_of_before_layers_could_be_higher_keeps_them_as_low(forge: Shop) -> None:
    del forge.plan_rules["layer_spare"]
    assert SettingsForm(instance=forge)["layer_spare"].value() == "0"


def test_a_new_shop_lets_nobody_lift_more_than_twenty_kilograms(at_the_bench: Client, forge: Shop) -> None:
    assert forge.plan_rules["max_gross_g"] == 20000
    assert 'value="20000"' in at_the_bench.get(reverse("settings")).content.decode()


def test_a_band_is_added_and_a_cleared_one_is_dropped(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    last = {"bands__2__to_g": "2 kg", "bands__2__web": "45", "bands__2__wall": "45", "bands__2__base_pad": "40"}
    first = {f"bands__0__{name}": "" for name in ("to_g", "web", "wall", "base_pad")}
    new = {"bands__3__to_g": "", "bands__3__web": "60", "bands__3__wall": "60", "bands__3__base_pad": "50"}
    store(at_the_bench, typed, bands__1__to_g="1500", **first, **last, **new)
    forge.refresh_from_db()
    assert [band["to_g"] for band in forge.plan_rules["by_head"]] == [1500, 2000, None]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"clearance": "-1"}, "A length cannot be negative"),
        ({"clearance": "snug"}, "is not a length"),
        ({"sheets": ""}, "Fill this in."),
        ({"sheets": "0"}, "sheets"),
        ({"sharp_wall": "-3"}, "A length cannot be negative"),
        ({"stiff_sheet": "18"}, "rules.stiff_sheet: 18 mm is thicker than layer_pad, 12 mm"),
        ({"layer_spare": ""}, "Fill this in."),
        ({"max_interior": "900, 400"}, "rules.max_interior: must be"),
        ({"max_interior": "900, 0, 300"}, "max_interior"),
        ({"max_layer_g": "0"}, "rules.max_layer_g: must be"),
        ({"hour_price": "-1"}, "Must be at least 0"),
        ({"billed_price": "-1"}, "Must be at least 0"),
        ({"billed_price_unit": "stone"}, "billed_price_unit"),
        ({"fastener_price": "a penny"}, "Must be a number, such as"),
        ({"max_gross_g": "as much as I can lift"}, "is not a weight"),
        ({"bands__0__web": ""}, "Web, mm is missing."),
        ({"bands__2__to_g": "5000"}, "must be null in the last band"),
        ({"bands__1__to_g": "500"}, "must be a weight in grams above 1000"),
        ({"country": "Sveden"}, "choose one by its name"),
        ({"timezone": "Mars/Olympus"}, "is not a time zone"),
        ({"foam_density_kg_m3": "2"}, "Must be at least 5"),
        ({"board": "cardboard"}, "cardboard"),
        ({"foam_curve": "760 50 5.5 45\n760 50 8 40"}, "must have at least three points, not 2"),
        ({"foam_curve": "760 50 3 90; 760 50 5 50; 760 50 8 20"}, "Line 1 must have 4 figures, not 12"),
        ({"foam_curve": "760 50 3 90\n760 50 5 50\n760 50 8 25"}, "must have a stress that rises with energy"),
        ({"foam_curve": "760 50 3 90\n760 50 3 91\n760 50 3 92"}, "must have points of different energies"),
        ({"foam_curve": "760 50 3 90\n760 50 5 -50\n760 50 8 25"}, "point 2 has one that is not"),
        ({"foam_curve": "760 50 3 much"}, "Line 1 has something that is no number"),
        ({"foam_snug_mm": "-4"}, "Must be at least -3"),
        ({"foam_sureness": "certain"}, "certain"),
        ({"billed_minutes": "-1"}, "Must be at least 0"),
    ],
)
def test_a_bad_setting_is_refused_in_a_sentence_and_nothing_changes(
    at_the_bench: Client, forge: Shop, typed: Any, changes: Any, sentence: Any
) -> None:
    before = (forge.plan_rules, forge.country, forge.timezone, forge.foam_density_kg_m3, forge.foam_curve)
    answer = store(at_the_bench, typed, **changes)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    forge.refresh_from_db()
    assert (forge.plan_rules, forge.country, forge.timezone, forge.foam_density_kg_m3, forge.foam_curve) == before


CURVE = "30\t2\t0.4\t70\n30, 2, 0.8, 45\n30; 2; 1.2; 42\n24,2,0.8,36"


def test_a_makers_curve_is_pasted_kept_and_shown_in_the_shops_units(at_the_bench: Client, forge: Shop) -> None:
    Shop.objects.update(length_unit="in")
    answer = store(
        at_the_bench, as_shown(at_the_bench), foam_curve=CURVE, foam_price_m3="10", foam_source="maker, 2026"
    )
    assert answer.status_code == 302, answer.content.decode()
    forge.refresh_from_db()
    first = forge.foam_curve[0]
    assert (first["height_um"], first["thickness_um"], first["peak_g"]) == (762_000, 50_800, 70)
    assert first["stress_pa"] == pytest.approx(0.4 * 6894.757, rel=1e-6)
    assert float(forge.foam_price_m3 or 0) == pytest.approx(10 / 0.3048**3, abs=1e-3)
    shown = at_the_bench.get("/settings/").content.decode()
    assert "30; 2; 0.4; 70\n30; 2; 0.8; 45\n30; 2; 1.2; 42\n24; 2; 0.8; 36" in shown
    assert 'value="10"' in shown and "A cubic foot of foam costs" in shown and "pressure psi" in shown
    kept, price = forge.foam_curve, forge.foam_price_m3
    assert store(at_the_bench, as_shown(at_the_bench)).status_code == 302
    forge.refresh_from_db()
    assert (forge.foam_curve, forge.foam_price_m3) == (kept, price)


def as_shown(client: Client) -> dict[str, str]:
    """The settings as a browser would send them back."""
    return next(values for _, values in forms_of(client, "/settings/") if "foam_name" in values)


def test_someone_is_let_in_as_a_packer(at_the_bench: Client, forge: Shop, client: Client) -> None:
    data = {"username": "saturday", "password": "anvil-and-tongs", "role": "packer"}
    at_the_bench.post(reverse("add-member"), data)
    assert Membership.objects.get(user__username="saturday").role == "packer"
    assert client.login(username="saturday", password="anvil-and-tongs")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"username": "OWNER"}, "is taken"),
        ({"password": "short"}, "at least 10 characters"),
        ({"password": "password1234"}, "Too many people use this password"),
        ({"role": "smith"}, "smith"),
    ],
)
def test_a_bad_member_is_refused_in_a_sentence(at_the_bench: Client, changes: Any, sentence: Any) -> None:
    data = {"username": "saturday", "password": "anvil-and-tongs", "role": "packer", **changes}
    answer = at_the_bench.post(reverse("add-member"), data)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    assert not User.objects.filter(username="saturday").exists()


def change(client: Any, user: Any, role: Any) -> Any:
    member = Membership.objects.get(user=user)
    return client.post(reverse("change-member", args=[member.pk]), {"role": role}, follow=True).content.decode()


def test_a_member_gets_another_role_or_leaves(at_the_bench: Client, packer: User) -> None:
    change(at_the_bench, packer, "bookkeeper")
    assert Membership.objects.get(user=packer).role == "bookkeeper"
    change(at_the_bench, packer, "")
    assert not Membership.objects.filter(user=packer).exists()


@pytest.mark.parametrize("role", ["packer", ""])
def test_the_last_owner_stays(at_the_bench: Client, owner: User, role: Any) -> None:
    assert "A shop needs an owner" in change(at_the_bench, owner, role)
    assert Membership.objects.get(user=owner).role == "owner"


def test_carriers_rules_are_listed_to_be_looked_at(at_the_bench: Client, forge: Shop) -> None:
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
    page = at_the_bench.get(reverse("settings")).content.decode()
    assert "2025-08-18 to 2026-01-11" in page
    assert "Check each before quoting." in page


def test_a_person_chooses_units_of_their_own(log_in: Any, packer: User) -> None:
    log_in("packer").post(reverse("own-units"), {"length_unit": "in", "weight_unit": ""})
    packer.refresh_from_db()
    assert (packer.length_unit, packer.weight_unit) == ("in", "")


def test_a_unit_nobody_knows_is_refused(log_in: Any, packer: User) -> None:
    page = log_in("packer").post(reverse("own-units"), {"length_unit": "ell"}).content.decode()
    assert 'id="id_length_unit_error"' in page


def test_times_are_shown_in_the_shops_zone(log_in: Any, planned: Any, forge: Shop) -> None:
    type(forge).objects.update(timezone="Pacific/Kiritimati")
    from zoneinfo import ZoneInfo

    local = only_plan(planned).created.astimezone(ZoneInfo("Pacific/Kiritimati"))
    assert f"planned {local:%Y-%m-%d %H:%M}" in log_in("owner").get("/orders/17/").content.decode()


@pytest.fixture
def carriers(forge: Shop, other_forge: Any) -> None:
    """The published rules, for our forge and for the other one."""
    for row in adapter.published_rules():
        RateRule.objects.create(shop=forge, **row)
        RateRule.objects.create(shop=other_forge, **row)


def in_force(shop: Any) -> Any:
    return RateRule.objects.get(shop=shop, carrier="UPS", service="Ground, United States", valid_to=None)


def test_the_carrier_that_boxes_are_chosen_by_is_named(
    at_the_bench: Client, forge: Shop, typed: Any, carriers: Any
) -> None:
    assert store(at_the_bench, typed, country="US", priced_by=in_force(forge).pk).status_code == 302
    forge.refresh_from_db()
    assert forge.priced_by == in_force(forge)
    store(at_the_bench, typed, country="US", priced_by="")
    forge.refresh_from_db()
    assert forge.priced_by is None


def test_a_rule_of_another_shop_or_of_another_time_is_not_offered(
    at_the_bench: Client, forge: Shop, other_forge: Any, typed: Any, carriers: Any
) -> None:
    over = present(RateRule.objects.filter(shop=forge, valid_to__isnull=False).first())
    for pk in (in_force(other_forge).pk, over.pk):
        answer = store(at_the_bench, typed, priced_by=pk)
        assert answer.status_code == 400
        assert "Choose one from the list." in answer.content.decode()


def test_a_service_that_takes_nothing_in_where_the_shop_is_is_not_offered(
    at_the_bench: Client, forge: Shop, typed: Any, carriers: Any
) -> None:
    answer = store(at_the_bench, typed, country="SE", priced_by=in_force(forge).pk)
    assert answer.status_code == 400
    assert "Choose one from the list." in answer.content.decode()
    dhl = RateRule.objects.get(shop=forge, carrier="DHL")
    assert store(at_the_bench, typed, country="SE", priced_abroad_by=dhl.pk).status_code == 302
    forge.refresh_from_db()
    assert forge.priced_abroad_by == dhl


def test_settings_stored_after_a_rule_ended_take_the_one_in_force(
    at_the_bench: Client, forge: Shop, carriers: Any
) -> None:
    first = RateRule.objects.filter(shop=forge, carrier="UPS", service="Ground, United States").earliest("valid_from")
    forge.priced_by = first
    assert SettingsForm(instance=forge)["priced_by"].value() == in_force(forge).pk


def test_prices_of_work_and_hardware_are_read_with_a_comma(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    store(at_the_bench, typed, hour_price="32,50", fastener_price="0.035")
    forge.refresh_from_db()
    assert (str(forge.hour_price), str(forge.fastener_price)) == ("32.50", "0.0350")


def test_a_member_changes_the_password_and_stays_logged_in(log_in: Any, packer: User) -> None:
    new = {"new_password1": "saturday-morning-7", "new_password2": "saturday-morning-7"}
    answer = log_in("packer").post(reverse("own-password"), {"old_password": "anvil-and-tongs", **new}, follow=True)
    assert "Your password is changed." in answer.content.decode()
    packer.refresh_from_db()
    assert packer.check_password("saturday-morning-7")


def test_a_password_is_not_changed_by_who_does_not_know_it(log_in: Any, packer: User) -> None:
    new = {"new_password1": "saturday-morning-7", "new_password2": "saturday-morning-7"}
    assert log_in("packer").post(reverse("own-password"), {"old_password": "wrong", **new}).status_code == 400
    packer.refresh_from_db()
    assert packer.check_password("anvil-and-tongs")


def test_rope_handles_and_feet_are_asked_for_with_a_tick(at_the_bench: Client, forge: Shop, typed: Any) -> None:
    assert not joinery_of(forge).feet
    assert store(at_the_bench, typed, rope_handles="on", feet="on").status_code == 302
    forge.refresh_from_db()
    joinery = joinery_of(forge)
    assert (joinery.rope_handles, joinery.feet) == (True, True)


def test_the_worth_of_billed_weight_is_stored_by_the_pound_or_the_kilogram(
    at_the_bench: Client, forge: Shop, typed: Any
) -> None:
    assert store(at_the_bench, typed, billed_price="1,20", billed_price_unit="lb").status_code == 302
    forge.refresh_from_db()
    assert (forge.billed_price, forge.billed_price_unit) == (Decimal("1.20"), "lb")


@pytest.fixture
def inch_forge(forge: Shop) -> Any:
    forge.length_unit, forge.weight_unit, forge.plan_rules = "in", "lb", inch_plan_rules()
    forge.save()
    return forge


def test_bare_numbers_in_an_inch_shops_settings_are_inches_and_said_again(
    at_the_bench: Client, inch_forge: Any, typed: Any
) -> None:
    page = at_the_bench.get(reverse("settings")).content.decode()
    assert 'value="1/2, 1, 2"' in page
    assert "Stock sheets, in" in page
    assert "Read as 12.7, 25.4, 50.8 mm." in page
    store(at_the_bench, typed, sheets="3/4, 1 1/2", bands__0__web="15/16", max_gross_g="44")
    inch_forge.refresh_from_db()
    assert inch_forge.plan_rules["sheets"] == [19.05, 38.1]
    assert inch_forge.plan_rules["by_head"][0]["web"] == 23.81
    assert inch_forge.plan_rules["max_gross_g"] == 19958.06


def test_an_inch_shops_settings_stored_as_they_are_shown_change_no_rule(at_the_bench: Client, inch_forge: Any) -> None:
    page = at_the_bench.get(reverse("settings")).content.decode()
    shown = dict(re.findall(r'<(?:input|textarea)[^>]* name="([^"]+)" value="([^"]*)"', page))
    chosen = {
        "country": "SE",
        "length_unit": "in",
        "weight_unit": "lb",
        "paper": "A4",
        "billed_price_unit": "lb",
        "foam_sureness": "memory",
        "step": "1/16 in",
    }
    answer = at_the_bench.post(reverse("settings"), {**shown, **chosen})
    assert answer.status_code == 302
    before = inch_forge.plan_rules
    inch_forge.refresh_from_db()
    assert inch_forge.plan_rules == before


def add_stock(shop: Shop, **caliper: Any) -> None:
    BoardRow.objects.create(
        shop=shop,
        name="board",
        flute="C",
        grade="32 ECT",
        caliper_tolerance_mm=Decimal("0.3"),
        grammage_g_m2=533,
        **caliper,
    )
    sizes = {"thickness_mm": "12.7", "width_mm": "139.7", "length_mm": "2438.4", "kerf_mm": "3.175"}
    WoodRow.objects.create(shop=shop, name="plank", nominal="1 × 6", density_kg_m3="430", **sizes)


def stock_shown(client: Client) -> str:
    page = client.get(reverse("settings")).content.decode()
    return re.sub(r"\s+", " ", page[page.index('id="stock"') :]).replace("\u00a0", " ")


def test_an_inch_shops_stock_is_shown_in_inches(at_the_bench: Client, inch_forge: Any) -> None:
    """12.7 mm is 1/2 in; 4 mm is no 64th of an inch and stands in thousandths, as a caliper says it."""
    add_stock(inch_forge, caliper_mm="4.000")
    shown = stock_shown(at_the_bench)
    assert "1/2 ± 0.020 in" in shown
    assert "0.157 ± 0.012 in" in shown
    assert ">1/8 in<" in shown
    assert not re.search(r"[0-9] mm\b", shown)


def test_a_metric_shops_stock_is_shown_as_it_is_measured(at_the_bench: Client, forge: Shop) -> None:
    add_stock(forge, caliper_mm="4.050")
    shown = stock_shown(at_the_bench)
    assert "4.05 ± 0.3 mm" in shown
    assert not re.search(r"[0-9] in\b", shown)
