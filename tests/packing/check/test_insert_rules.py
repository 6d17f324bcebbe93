"""The checker on broken inserts, boxes and weights: one thing is broken at a time, and that rule alone is named."""

import copy

import pytest

from packing.measure import read_order
from tests.packing.checked import Change, Content, item, move, order, order_file, plan, problems, rules_broken


def sheet(content: Content, name: str) -> Content:
    found: Content = next(one for one in content["insert"]["sheets"] if one["id"] == name)
    return found


def pocket(content: Content, name: str, item: str, part: str) -> Content:
    found: Content = next(p for p in sheet(content, name)["pockets"] if (p["item"], p["part"]) == (item, part))
    return found


def corner(name: str, owner: str, part: str, side: tuple[str, int], by_mm: float) -> Change:
    """Move one side of one pocket."""

    def change(content: Content) -> None:
        pocket(content, name, owner, part)[side[0]][side[1]] += by_mm

    return change


def drop_pocket(name: str, item: str, part: str) -> Change:
    def change(content: Content) -> None:
        sheet(content, name)["pockets"].remove(pocket(content, name, item, part))

    return change


def add_pocket(name: str, item: str, part: str, low: list[float], high: list[float]) -> Change:
    return lambda c: sheet(c, name)["pockets"].append({"item": item, "part": part, "min_mm": low, "max_mm": high})


def of_sheet(name: str, **values: object) -> Change:
    return lambda content: sheet(content, name).update(values)


def of_insert(key: str, index: int, **values: object) -> Change:
    return lambda content: content["insert"][key][index].update(values)


def drop(key: str, index: int) -> Change:
    return lambda content: content["insert"][key].pop(index)


def of(section: str, **values: object) -> Change:
    return lambda content: content[section].update(values)


def all_of(*changes: Change) -> Change:
    return lambda content: [change(content) for change in changes]


def light(section: str, by_g: float) -> Change:
    """A weight in its own section, the sums above it kept right."""

    def change(content: Content) -> None:
        content[section]["weight_g"] += by_g
        content["weight"][f"{section}_g"] += by_g
        content["weight"]["gross_g"] += by_g

    return change


def shifted(key: str, index: int, *by_mm: float) -> Change:
    return lambda content: move({"parts": [content["insert"][key][index]]}, *by_mm)


def moved_notch(x: float, y: float) -> Change:
    """The hammer's notch elsewhere, in its two sheets and in its lift."""

    def change(content: Content) -> None:
        places = [pocket(content, name, "H1", "notch") for name in ("S4", "S5")] + [content["insert"]["lifts"][0]]
        for one in places:
            one["min_mm"], one["max_mm"] = [x, y], [x + 20, y + 27]

    return change


def twice(content: Content) -> None:
    content["insert"]["plugs"].append(copy.deepcopy(content["insert"]["plugs"][0]) | {"id": "P2"})
    content["insert"]["cut_list"][-1].update(ids=["P1", "P2"], count=2)


BROKEN: dict[str, tuple[str, Change]] = {
    "a sheet turned": ("sheets", of_sheet("S10", size_mm=[222.5, 345])),
    "the last sheet 0.01 mm higher": ("sheets", of_sheet("S10", floor_mm=147.01)),
    "a pad called a layer": ("sheets", of_sheet("S10", role="layer")),
    "a sheet in the wrong layer": ("sheets", of_sheet("S9", layer=0)),
    "a stock sheet called extra": ("sheets", of_sheet("S1", stock=False)),
    "a pocket missing in the last sheet": ("pocket", drop_pocket("S9", "H2", "handle")),
    "a pocket missing in the lowest sheet": ("pocket", drop_pocket("S2", "H1", "head")),
    "a block's pocket missing": ("pocket", drop_pocket("S7", "wax", "block")),
    "a pocket 0.01 mm too small": ("pocket", corner("S8", "wax", "block", ("max_mm", 0), -1.01)),
    "a pocket 0.01 mm past its room": ("pocket", corner("S8", "wax", "block", ("max_mm", 0), 0.51)),
    "a pocket past its room to the front": ("pocket", corner("S7", "H2", "head", ("min_mm", 1), -0.51)),
    "a pocket in a pad": ("pocket", add_pocket("S10", "wax", "block", [99, 69.5], [141, 101.5])),
    "a pocket under what it should carry": ("pocket", add_pocket("S7", "H2", "handle", [52.5, 33.5], [252.5, 47.5])),
    "a pocket in another layer": ("pocket", add_pocket("S9", "tin", "block", [90.5, 115], [110.5, 125])),
    "a pocket for nobody": ("pocket", add_pocket("S9", "soap", "block", [200, 100], [202, 102])),
    "a pocket for a part the item has not": ("pocket", add_pocket("S9", "wax", "head", [99, 69.5], [141, 101.5])),
    "a pocket with another letter": ("letter", lambda c: pocket(c, "S9", "wax", "block").update(letter="A")),
    "a saddle with another letter": ("letter", of_insert("saddles", 0, letter="B")),
    "a notch too near to another pocket": ("notch", moved_notch(69.5, 101)),
    "a notch too near to the edge": ("notch", moved_notch(24.9, 132.5)),
    "a notch away from its pocket": ("notch", moved_notch(69.6, 27)),
    "no saddle under a hanging handle": ("saddle", all_of(drop("saddles", 0), drop("cut_list", 2))),
    "no saddle under the last handle": ("saddle", all_of(drop("saddles", 1), drop("cut_list", 3))),
    "a saddle of nobody": ("saddle", of_insert("saddles", 0, item="soap")),
    "a saddle in its handle": ("saddle", shifted("saddles", 1, 0, 0, 0.01)),
    "a saddle out of its pocket": ("saddle", shifted("saddles", 1, 0.01, 0, 0)),
    "a saddle in the wrong layer": ("saddle", of_insert("saddles", 1, layer=0)),
    "a saddle cut where nothing is cut out": ("saddle", of_insert("saddles", 1, from_sheet="S10")),
    "a saddle cut from a sheet that is too thin": ("saddle", of_insert("saddles", 0, from_sheet="S2 + S99")),
    "no plug over a head": ("plug", all_of(drop("plugs", 0), drop("cut_list", 4))),
    "a plug over the handle only": ("plug", of_insert("plugs", 0, part="handle")),
    "a plug in its head": ("plug", shifted("plugs", 0, 0, 0, -0.01)),
    "a plug above its layer": ("plug", shifted("plugs", 0, 0, 0, 0.01)),
    "a plug out of its pocket": ("plug", shifted("plugs", 0, -0.01, 0, 0)),
    "two plugs in one place": ("plug", twice),
    "no lift at a head": ("lift", drop("lifts", 1)),
    "a lift in the wrong layer": ("lift", of_insert("lifts", 1, layer=0)),
    "a lift of nobody": ("lift", lambda c: c["insert"]["lifts"].append({"item": "soap", "kind": "tape"})),
    "a tape without length": ("lift", of_insert("lifts", 1, length_mm=0)),
    "a notch that is not cut where it is listed": ("lift", of_insert("lifts", 0, min_mm=[69.5, 27.01])),
    "the last saddle is not in the cut list": ("cut_list", drop("cut_list", 3)),
    "a saddle twice in the cut list": ("cut_list", of_insert("cut_list", 2, ids=["D1", "D1"], count=2)),
    "a wrong count in the cut list": ("cut_list", of_insert("cut_list", 0, count=3)),
    "a wrong size in the cut list": ("cut_list", of_insert("cut_list", 4, size_mm=[107, 42])),
    "a wrong thickness in the cut list": ("cut_list", of_insert("cut_list", 2, thickness_mm=9)),
    "something unknown in the cut list": ("cut_list", of_insert("cut_list", 4, ids=["P1", "P9"], count=2)),
    "an insert 1 % and more too light": ("insert_weight", light("insert", -3.4)),
    "an insert 1 % and more too heavy": ("insert_weight", light("insert", 3.4)),
    "a saddle as heavy as steel": ("insert_weight", of_insert("saddles", 0, weight_g=650)),
    "a box 0.01 mm too short inside": ("box", of("box", inner_mm=[344.99, 224.5, 174])),
    "a box 0.01 mm too narrow inside": ("box", of("box", inner_mm=[347, 222.49, 174])),
    "a box 0.01 mm too low inside": ("box", of("box", inner_mm=[347, 224.5, 171.99])),
    "a box as small outside as inside": ("box", of("box", outer_mm=[355, 232.5, 174])),
    "a carton the insert does not go into": ("box", of("carton", inner_mm=[360, 220, 174])),
    "a box lighter than its blank": ("box_weight", light("box", -4)),
    "pieces lighter than ordered": ("weight", of("weight", pieces_g=1959, gross_g=2592.3)),
    "another insert weight in the sum": ("weight", of("weight", insert_g=325.6, gross_g=2592.3)),
    "another box weight in the sum": ("weight", of("weight", box_g=293.6, gross_g=2592.3)),
    "sundries that are not the sum of the listed": ("weight", of("weight", sundries_g=13.1, gross_g=2594.3)),
    "a gross weight that is not the sum": ("weight", of("weight", gross_g=2665.5)),
    "a tolerance of one standard deviation": ("tolerance", of("weight", tolerance_g=6.7)),
    "a centre of gravity elsewhere": ("centre_of_gravity", lambda c: c.update(centre_of_gravity_mm=[66.7, 76.1, 60.9])),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_one_broken_thing_is_named_by_its_rule_alone(name: str) -> None:
    rule, change = BROKEN[name]
    content = plan()
    change(content)
    assert rules_broken(content) == {rule}


def thin_top(content: Content) -> None:
    """The last layer's two thick sheets as one of 24 and one of 26 mm."""
    sheet(content, "S8").update(thickness_mm=24, stock=False)
    sheet(content, "S9").update(thickness_mm=26, floor_mm=121, stock=False)


SEVERAL: dict[str, tuple[set[str], Change]] = {
    "a sheet 0.01 mm too short": ({"sheets", "cut_list"}, of_sheet("S10", size_mm=[344.99, 222.5])),
    "two sheets with one id": ({"sheets", "cut_list"}, of_sheet("S10", id="S1")),
    "two saddles with one id": ({"saddle", "cut_list"}, of_insert("saddles", 1, id="D1")),
    "the top sheet is missing": ({"sheets", "cut_list", "insert_weight"}, lambda c: c["insert"]["sheets"].pop()),
    "a layer of sheets that are no stock": ({"sheets", "cut_list"}, thin_top),
    "a sheet across the top of its layer": (
        {"sheets", "cut_list", "pocket"},
        lambda c: sheet(c, "S5").update(thickness_mm=13),
    ),
    "a notch closed from above": ({"notch", "lift"}, drop_pocket("S5", "H1", "notch")),
    "no insert": ({"format"}, lambda c: c.pop("insert")),
    "no box": ({"format"}, lambda c: c.pop("box")),
    "no weights": ({"format"}, lambda c: c.pop("weight")),
    "an insert without sheets": (
        {"sheets", "saddle", "plug", "lift", "cut_list", "insert_weight"},
        lambda c: c["insert"].update(sheets=[]),
    ),
}  # fmt: skip


def test_the_good_plan_breaks_no_rule() -> None:
    assert problems(plan()) == []


def test_insert_box_and_weight_are_not_asked_for_where_only_the_nesting_is() -> None:
    content = plan()
    for key in ("insert", "box", "weight"):
        del content[key]
    assert rules_broken(content, require="nesting") == set()


def test_a_gross_weight_at_the_limit_is_legal() -> None:
    assert rules_broken(plan(), by=order(max_gross_g=2665.3)) == set()


def test_a_gross_weight_past_the_limit_is_named() -> None:
    assert rules_broken(plan(), by=order(max_gross_g=2665.2)) == {"max_gross"}


def test_an_item_that_is_moved_off_its_pockets_is_named() -> None:
    content = plan()
    move(content["items"][3], 2, 0, 0)
    assert rules_broken(content) == {"pocket"}


@pytest.mark.parametrize("by_mm", [2.99, 3])
def test_a_saddle_may_leave_three_millimetres_open(by_mm: float) -> None:
    content = plan()
    saddle = content["insert"]["saddles"][1]
    saddle["max_mm"][2] -= by_mm
    saddle["weight_g"] = round(200 * 16 * (6 - by_mm) * 27e-6, 2)
    content["insert"]["cut_list"][3]["thickness_mm"] = 6 - by_mm
    assert rules_broken(content) == set()


def test_a_saddle_that_leaves_more_than_three_millimetres_open_is_named() -> None:
    content = plan()
    saddle = content["insert"]["saddles"][1]
    saddle["max_mm"][2] = 99.99
    saddle["weight_g"] = 0.26
    content["insert"]["cut_list"][3]["thickness_mm"] = 2.99
    (problem,) = problems(content)
    assert (problem.rule, problem.where, problem.by_mm) == ("saddle", "H2", 0.01)


def test_a_pad_that_stock_cannot_make_is_one_extra_sheet() -> None:
    content = plan()
    content["interior_mm"][2] = 165
    content["insert"]["sheets"][-1].update(thickness_mm=18, stock=False)
    content["insert"]["cut_list"][0].update(ids=["S1", "S8", "S9"], count=3)
    content["insert"]["cut_list"].append({"ids": ["S10"], "count": 1, "thickness_mm": 18, "size_mm": [345, 222.5]})
    light("insert", -7 * 345 * 222.5 * 27e-6)(content)
    for section in ("box", "carton"):
        content[section]["inner_mm"][2], content[section]["outer_mm"][2] = 167, 183
    content["gap"] = None
    assert rules_broken(content, by=order(top_pad=18)) == set()


@pytest.mark.parametrize("name", SEVERAL)
def test_a_fault_with_consequences_is_named_with_them(name: str) -> None:
    rules, change = SEVERAL[name]
    content = plan()
    change(content)
    assert rules_broken(content) == rules


def test_a_pocket_may_be_as_large_as_the_room() -> None:
    content = plan()
    for name in ("S7", "S8", "S9"):
        pocket(content, name, "wax", "block").update(min_mm=[98.5, 69], max_mm=[141.5, 102])
    assert rules_broken(content) == set()


def handle_on_a_joint() -> Content:
    """The standing hammer's handle 6 mm lower, right on the sheet below it, where it needs no saddle."""
    content = plan()
    for corner_of in ("min_mm", "max_mm"):
        item(content, "H2")["parts"][1][corner_of][2] -= 6
    for key, index in (("saddles", 1), ("cut_list", 3)):
        content["insert"][key].pop(index)
    return content


def lower_eye() -> Content:
    content = order_file()
    content["items"][2]["eye_offset"] = 22
    return content


def test_a_handle_on_a_joint_needs_no_saddle() -> None:
    assert rules_broken(handle_on_a_joint(), by=read_order(lower_eye())) == set()


def test_a_pocket_right_under_a_handle_is_named() -> None:
    content = handle_on_a_joint()
    add_pocket("S7", "H2", "handle", [52.5, 33.5], [252.5, 47.5])(content)
    (problem,) = problems(content, by=read_order(lower_eye()))
    assert problem.message == "is cut for H2 handle, which starts above it at 97 mm."


def second_notch(content: Content) -> None:
    """A notch at the tin, exactly a web from the hammer's head; the hammer's own exactly at the wall, a web away."""
    for one in [pocket(content, name, "H1", "notch") for name in ("S4", "S5")] + [content["insert"]["lifts"][0]]:
        one["min_mm"], one["max_mm"] = [25, 132.5], [50.5, 152.5]
    for name in ("S4", "S5"):
        add_pocket(name, "tin", "notch", [70.5, 153], [90.5, 180])(content)


def test_notches_may_be_exactly_a_wall_and_a_web_away() -> None:
    content = plan()
    second_notch(content)
    assert rules_broken(content) == set()


def test_two_notches_too_near_to_each_other_are_named() -> None:
    content = plan()
    second_notch(content)
    for one in [pocket(content, name, "H1", "notch") for name in ("S4", "S5")] + [content["insert"]["lifts"][0]]:
        one["max_mm"] = [50.51, 152.5]
    (problem,) = problems(content)
    assert (problem.rule, problem.by_mm) == ("notch", 0.01)
    assert problem.message == "the notches of H1 and tin are 19.99 mm apart, web is 20 mm."


def test_two_notches_of_one_item_may_be_near_to_each_other() -> None:
    content = plan()
    for name in ("S4", "S5"):
        add_pocket(name, "H1", "notch", [30, 132.5], [57, 150])(content)
        add_pocket(name, "H1", "notch", [58, 132.5], [65, 150])(content)
    assert rules_broken(content) == set()
