"""The checker on contents that are not what a plan's content must be: named, never a crash."""

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packing.check import RULES, check_plan
from packing.measure import BadInput
from tests.packing.checked import Change, Content, item, nesting, order, plan, problems, rules_broken


def drop(key: str) -> Change:
    return lambda content: content.pop(key)


def put(key: str, value: object) -> Change:
    return lambda content: content.update({key: value})


def of_item(key: str, value: object) -> Change:
    return lambda content: item(content, "wax").update({key: value})


def of_part(key: str, value: object) -> Change:
    return lambda content: item(content, "wax")["parts"][0].update({key: value})


UNREADABLE: dict[str, Change] = {
    "no interior": drop("interior_mm"),
    "no layers": drop("layers"),
    "no items": drop("items"),
    "two sides only": put("interior_mm", [345, 222.5]),
    "a side as text": put("interior_mm", ["345", 222.5, 172]),
    "a side that is no number": put("interior_mm", [math.nan, 222.5, 172]),
    "a side without end": put("interior_mm", [345, 222.5, math.inf]),
    "a side that is true": put("interior_mm", [345, True, 172]),
    "a side of nothing": put("interior_mm", [345, 222.5, 0]),
    "a side below nothing": put("interior_mm", [345, -222.5, 172]),
    "a side of four decimals": put("interior_mm", [345.0001, 222.5, 172]),
    "a side beyond all measure": put("interior_mm", [10**400, 222.5, 172]),
    "an interior as text": put("interior_mm", "345 x 222.5 x 172"),
    "layers as a number": put("layers", 2),
    "a layer as a number": put("layers", [{"floor_mm": 25, "height_mm": 48}, 62]),
    "a layer without height": put("layers", [{"floor_mm": 25, "height_mm": 48}, {"floor_mm": 85}]),
    "items as an object": put("items", {"wax": 1}),
    "an item as text": lambda content: content["items"].append("wax"),
    "an item without id": lambda content: content["items"].append({"layer": 0}),
    "an item with a number for id": lambda content: content["items"].append({"id": 7}),
    "an item without layer": lambda content: item(content, "wax").pop("layer"),
    "an item in no layer": of_item("layer", None),
    "an item in layer 2 of 2": of_item("layer", 2),
    "an item in layer -1": of_item("layer", -1),
    "an item in layer true": of_item("layer", True),
    "an item in layer 1.5": of_item("layer", 1.5),
    "an item without pose": lambda content: item(content, "wax").pop("pose"),
    "an item without parts": lambda content: item(content, "wax").pop("parts"),
    "a part without name": lambda content: item(content, "wax")["parts"][0].pop("part"),
    "a part without corner": lambda content: item(content, "wax")["parts"][0].pop("max_mm"),
    "a part twice": lambda content: item(content, "wax")["parts"].append(item(content, "wax")["parts"][0]),
    "a corner of two numbers": of_part("min_mm", [100, 70.5]),
    "a corner that is no number": of_part("min_mm", [100, math.nan, 85]),
    "a corner as nothing": of_part("min_mm", None),
    "an empty part": of_part("min_mm", [140, 70.5, 85]),
    "a part inside out": of_part("min_mm", [141, 70.5, 85]),
    "a bound as text": put("lower_bound_mm3", "small"),
    "a bound below nothing": put("lower_bound_mm3", -1),
    "a proof that is not yes or no": put("proven", 1),
    "a gap as text": put("gap", "7 %"),
}


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_nesting_that_cannot_be_read_is_a_format_problem(name: str) -> None:
    content = nesting()
    UNREADABLE[name](content)
    assert "format" in rules_broken(content, require="nesting")


REST: dict[str, Change] = {
    "an insert as a list": put("insert", []),
    "an insert as nothing": put("insert", None),
    "an insert without density": lambda c: c["insert"].pop("density_kg_m3"),
    "an insert of no density": lambda c: c["insert"].update(density_kg_m3=0),
    "an insert without weight": lambda c: c["insert"].pop("weight_g"),
    "an insert without material": lambda c: c["insert"].pop("material"),
    "an insert without sheets": lambda c: c["insert"].pop("sheets"),
    "a sheet as nothing": lambda c: c["insert"]["sheets"].append(None),
    "a sheet without id": lambda c: c["insert"]["sheets"][0].pop("id"),
    "a sheet without size": lambda c: c["insert"]["sheets"][0].pop("size_mm"),
    "a sheet without thickness": lambda c: c["insert"]["sheets"][0].pop("thickness_mm"),
    "a sheet of no thickness": lambda c: c["insert"]["sheets"][0].update(thickness_mm=0),
    "a sheet without pockets": lambda c: c["insert"]["sheets"][0].pop("pockets"),
    "a pocket as text": lambda c: c["insert"]["sheets"][1]["pockets"].append("H1"),
    "a pocket without item": lambda c: c["insert"]["sheets"][1]["pockets"][0].pop("item"),
    "a pocket with three coordinates": lambda c: c["insert"]["sheets"][1]["pockets"][0].update(min_mm=[1, 2, 3]),
    "a pocket inside out": lambda c: c["insert"]["sheets"][1]["pockets"][0].update(max_mm=[1, 2]),
    "saddles as a number": lambda c: c["insert"].update(saddles=2),
    "a saddle as text": lambda c: c["insert"]["saddles"].append("D3"),
    "a saddle without corner": lambda c: c["insert"]["saddles"][0].pop("min_mm"),
    "a plug without weight": lambda c: c["insert"]["plugs"][0].pop("weight_g"),
    "a lift without item": lambda c: c["insert"]["lifts"][0].pop("item"),
    "a lift as nothing": lambda c: c["insert"]["lifts"].append(None),
    "a lift by crane": lambda c: c["insert"]["lifts"][0].update(kind="crane"),
    "a notch without corner": lambda c: c["insert"]["lifts"][0].pop("max_mm"),
    "a cut list as text": lambda c: c["insert"].update(cut_list="see above"),
    "a line of the cut list as text": lambda c: c["insert"]["cut_list"].append("S1"),
    "a box as nothing": put("box", None),
    "a box without inside": lambda c: c["box"].pop("inner_mm"),
    "a box without outside": lambda c: c["box"].pop("outer_mm"),
    "a box without weight": lambda c: c["box"].pop("weight_g"),
    "a box lighter than nothing": lambda c: c["box"].update(weight_g=-1),
    "a blank without size": lambda c: c["box"]["blank"].pop("size_mm"),
    "a carton as text": put("carton", "large"),
    "weights as a list": put("weight", []),
    "no gross weight": lambda c: c["weight"].pop("gross_g"),
    "no tolerance": lambda c: c["weight"].pop("tolerance_g"),
    "sundries as text": lambda c: c["weight"].update(sundries="tape"),
    "a sundry without weight": lambda c: c["weight"]["sundries"][0].pop("weight_g"),
    "a source of tolerance without its spread": lambda c: c["weight"]["tolerance"][0].pop("sd_g"),
    "a centre of gravity of two numbers": put("centre_of_gravity_mm", [66.7, 76.1]),
    "a centre of gravity as text": put("centre_of_gravity_mm", "in the middle"),
}


@pytest.mark.parametrize("name", REST)
def test_an_insert_box_or_weight_that_cannot_be_read_is_a_format_problem(name: str) -> None:
    content = plan()
    REST[name](content)
    assert "format" in rules_broken(content)


@pytest.mark.parametrize("content", [None, [], "plan", 3, True, math.nan])
def test_what_is_no_plan_at_all_is_a_format_problem(content: object) -> None:
    assert rules_broken(content) == {"format"}


@pytest.mark.parametrize("status", [None, "done", 1, ["planned"]])
def test_an_unknown_status_is_named(status: object) -> None:
    assert rules_broken({"order": "Z-3", "status": status}) == {"status"}


WITHOUT: Content = {"order": "Z-3", "status": "impossible", "limit": "max_interior length", "item": "H1", "by_mm": 12.5}


@pytest.mark.parametrize("status", ["impossible", "not found"])
def test_an_answer_without_a_plan_needs_its_limit_item_and_length(status: str) -> None:
    assert rules_broken(WITHOUT | {"status": status}) == set()


@pytest.mark.parametrize(
    "change", [{"limit": ""}, {"limit": None}, {"item": "soap"}, {"by_mm": -1}, {"by_mm": "12"}, {"by_mm": math.nan}]
)
def test_an_answer_without_a_plan_that_names_no_reason_is_named(change: Content) -> None:
    assert rules_broken(WITHOUT | change) == {"status"}


def test_an_unknown_demand_is_refused() -> None:
    with pytest.raises(BadInput, match=r"require: must be full or nesting, not 'half'"):
        check_plan(order(), plan(), require="half")


def test_lengths_as_decimals_and_as_floats_with_a_trace_of_noise_are_read() -> None:
    content = nesting()
    content["interior_mm"] = [Decimal("345"), 222.5, 172.0000000001]
    assert rules_broken(content, require="nesting") == set()


def test_every_problem_bears_a_rule_of_the_list_and_a_sentence() -> None:
    content = plan()
    content["layers"][1]["floor_mm"] = 80
    content["insert"]["sheets"].pop(4)
    found = problems(content)
    assert len(found) > 5
    assert all(problem.rule in RULES and problem.where and problem.message.endswith(".") for problem in found)


def test_what_cannot_be_read_elsewhere_hides_no_missing_pocket() -> None:
    content = plan()
    del content["proven"]
    content["weight"] = None
    content["insert"]["sheets"][2]["pockets"].pop()
    assert rules_broken(content) == {"format", "pocket"}


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


def _places(content: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    keys = list(content) if isinstance(content, dict) else range(len(content)) if isinstance(content, list) else []
    return [path, *(place for key in keys for place in _places(content[key], (*path, key)))]


PLACES = [place for place in _places(plan()) if place]


@given(place=st.sampled_from(PLACES), junk=JUNK)
@settings(max_examples=300)
def test_junk_anywhere_in_a_plan_never_crashes_the_checker(place: tuple[Any, ...], junk: Any) -> None:
    content = plan()
    holder = content
    for key in place[:-1]:
        holder = holder[key]
    holder[place[-1]] = junk
    assert all(problem.rule in RULES for problem in check_plan(order(), content))


@given(place=st.sampled_from(PLACES))
@settings(max_examples=300)
def test_anything_left_out_of_a_plan_never_crashes_the_checker(place: tuple[Any, ...]) -> None:
    content = plan()
    holder = content
    for key in place[:-1]:
        holder = holder[key]
    del holder[place[-1]]
    assert all(problem.rule in RULES for problem in check_plan(order(), content))


@given(
    name=st.sampled_from(["H1", "tin", "H2", "wax"]), axis=st.integers(0, 2), by=st.integers(1, 5000), up=st.booleans()
)
@settings(max_examples=200)
def test_no_item_can_be_moved_out_of_its_pocket_unseen(name: str, axis: int, by: int, up: bool) -> None:
    content = plan()
    hundredths = by if axis == 2 else by + 100
    for part in item(content, name)["parts"]:
        for corner in ("min_mm", "max_mm"):
            part[corner][axis] += (hundredths if up else -hundredths) / 100
    assert rules_broken(content)
