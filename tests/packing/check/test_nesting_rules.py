"""The checker on broken nestings: one thing is broken at a time, and that rule alone is named."""

import copy

import pytest

from packing.measure import read_order
from tests.packing.checked import Change, Content, item, move, nesting, order, order_file, problems, rules_broken


def part(content: Content, name: str, index: int) -> Content:
    found: Content = item(content, name)["parts"][index]
    return found


def shift(name: str, *by_mm: float) -> Change:
    return lambda content: move(item(content, name), *by_mm)


def put(name: str, index: int, corner: str, axis: int, value: float) -> Change:
    def change(content: Content) -> None:
        part(content, name, index)[corner][axis] = value

    return change


def span(name: str, index: int, axis: int, low: float, high: float) -> Change:
    return all_of(put(name, index, "min_mm", axis, low), put(name, index, "max_mm", axis, high))


def own(name: str, **values: object) -> Change:
    return lambda content: item(content, name).update(values)


def top(**values: object) -> Change:
    return lambda content: content.update(values)


def layer(index: int, **values: object) -> Change:
    return lambda content: content["layers"][index].update(values)


def all_of(*changes: Change) -> Change:
    return lambda content: [change(content) for change in changes]


def swap_axes(name: str) -> Change:
    def change(content: Content) -> None:
        for one in item(content, name)["parts"]:
            for corner in ("min_mm", "max_mm"):
                one[corner][0], one[corner][1] = one[corner][1], one[corner][0]

    return change


def mirror(name: str, axis: int) -> Change:
    """Mirror an item where it lies, along x, y or z."""

    def change(content: Content) -> None:
        parts = item(content, name)["parts"]
        both = min(p["min_mm"][axis] for p in parts) + max(p["max_mm"][axis] for p in parts)
        for p in parts:
            low, high = p["min_mm"][axis], p["max_mm"][axis]
            p["min_mm"][axis], p["max_mm"][axis] = both - high, both - low

    return change


def rename_parts(content: Content) -> None:
    part(content, "H1", 0)["part"], part(content, "H1", 1)["part"] = "handle", "head"


def resize(name: str, index: int, by_mm: float, axis: int) -> Change:
    def change(content: Content) -> None:
        part(content, name, index)["max_mm"][axis] += by_mm

    return change


def lying_as_end(content: Content) -> None:
    item(content, "H1")["pose"] = "end"


def more_layers(content: Content) -> None:
    content["layers"].append({"floor_mm": 159, "height_mm": 0})


def left_out(index: int) -> Change:
    def change(content: Content) -> None:
        content["items"].pop(index)
        for one in content["items"]:
            del one["lift_order"]

    return change


def packed_twice(content: Content) -> None:
    content["items"].append(copy.deepcopy(content["items"][0]))
    for one in content["items"]:
        del one["lift_order"]


BROKEN: dict[str, tuple[str, Change]] = {
    "an item is left out": ("once", left_out(3)),
    "an item is packed twice": ("once", packed_twice),
    "an item nobody ordered": ("once", own("wax", id="soap")),
    "the last item 0.01 mm too near": ("web", shift("wax", 0, -0.01, 0)),
    "two items in one place": ("web", shift("wax", 0, -40, 0)),
    "the last part of the last but one 0.01 mm too near": ("web", shift("H2", 0, 0.01, 0)),
    "an item 0.01 mm above its floor": ("floor", shift("wax", 0, 0, 0.01)),
    "an item sunk 0.01 mm into its floor": ("floor", shift("wax", 0, 0, -0.01)),
    "the last layer's item sunk": ("floor", shift("H2", 0, 0, -0.01)),
    "the head is a hundredth longer": ("pose", resize("H2", 0, 0.01, 1)),
    "the block is a hundredth shorter": ("pose", resize("wax", 0, -0.01, 2)),
    "the last coordinate of the handle off by 0.01": ("pose", resize("H2", 1, 0.01, 2)),
    "the handle off its line by 0.01": ("pose", span("H1", 1, 1, 59.99, 92.99)),
    "the handle not at half height": ("pose", span("H1", 1, 2, 34, 57)),
    "the handle off the middle of a standing head": ("pose", span("H2", 1, 1, 33.49, 47.49)),
    "standing on its peen": ("pose", span("H2", 1, 2, 109, 129)),
    "the handle drawn out of the eye": ("pose", span("H2", 1, 0, 53, 253)),
    "the handle into the head": ("pose", span("H2", 1, 0, 52, 252)),
    "a flat tool called end": ("pose", lying_as_end),
    "an end tool called flat": ("pose", own("H2", pose="flat")),
    "a pose nobody knows": ("pose", own("H1", pose="upright")),
    "a block called flat": ("pose", own("wax", pose="flat")),
    "a tool called block": ("pose", own("H1", pose="block")),
    "head and handle swapped": ("pose", rename_parts),
    "a tool without its handle": ("pose", lambda c: item(c, "H2")["parts"].pop()),
    "a block with a handle": ("pose", lambda c: part(c, "wax", 0).update(part="handle")),
    "the wrong turn": ("turn", own("H1", turn=180)),
    "the wrong cheek up": ("turn", own("H1", flipped=True, marked_up=False)),
    "flipped on its end": ("turn", own("H2", flipped=True)),
    "the marked cheek is said to be down": ("mark", own("H1", marked_up=False)),
    "an unmarked tool is said to be marked": ("mark", own("H2", marked_up=True)),
    "two items with one letter": ("letter", own("wax", letter="A")),
    "lifted out twice": ("lift_order", own("wax", lift_order=1)),
    "lifted out from under another": ("lift_order", all_of(own("H1", lift_order=2), own("wax", lift_order=3))),
    "another weight than ordered": ("order", own("H1", weight_g=1369)),
    "another form than ordered": ("order", own("H1", form="axe")),
    "another order": ("order", top(order="Z-4")),
    "the rules of another order": ("order", top(rules={"clearance": 1.5})),
    "the hash of another order": ("order", top(input_sha256="0" * 64)),
    "the interior 0.01 mm longer": ("interior", top(interior_mm=[345.01, 222.5, 172])),
    "the interior 0.01 mm wider": ("interior", top(interior_mm=[345, 222.51, 172])),
    "the interior 0.01 mm higher": ("top_pad", top(interior_mm=[345, 222.5, 172.01])),
    "the interior 0.01 mm lower": ("top_pad", top(interior_mm=[345, 222.5, 171.99])),
    "a layer without items": ("layer", all_of(more_layers, top(interior_mm=[345, 222.5, 184]))),
    "a bound above the volume": ("bound", top(lower_bound_mm3=13203152)),
    "a proof without an equal bound": ("bound", top(proven=True)),
    "a gap that is too good": ("bound", top(gap=0.1)),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_one_broken_thing_is_named_by_its_rule_alone(name: str) -> None:
    rule, change = BROKEN[name]
    content = nesting()
    change(content)
    assert rules_broken(content, require="nesting") == {rule}


def lowered(content: Content) -> None:
    """The upper layer and all that lies in it a hundredth lower."""
    content["layers"][1]["floor_mm"] = 84.99
    content["interior_mm"][2] = 171.99
    for name in ("H2", "wax"):
        move(item(content, name), 0, 0, -0.01)


def raised(content: Content, by_mm: float = 0.01) -> None:
    """Everything a hundredth higher."""
    content["interior_mm"][2] += by_mm
    for one in content["layers"]:
        one["floor_mm"] += by_mm
    for one in content["items"]:
        move(one, 0, 0, by_mm)


def last_layer_higher(content: Content, by_mm: float) -> None:
    content["layers"][1]["height_mm"] += by_mm
    content["interior_mm"][2] += by_mm


def upside_down(content: Content) -> None:
    content["layers"].reverse()
    for one in content["items"]:
        one["layer"] = 1 - one["layer"]


def on_its_side(content: Content) -> None:
    part(content, "tin", 0)["max_mm"] = [161.5, 146, 105]


WHOLE: dict[str, tuple[set[str], Change]] = {
    "the pad between layers is thinner": ({"layer_pad"}, lowered),
    "the base pad is thicker": ({"base_pad"}, raised),
    "the last layer is no sum of sheets": ({"layer_height"}, lambda c: last_layer_higher(c, 1)),
    "the last layer is a sheet too high": ({"layer_height"}, lambda c: last_layer_higher(c, 10)),
    "the last layer is too low": ({"layer_height", "layer"}, lambda c: last_layer_higher(c, -2)),
    "layers listed from the top": ({"layer", "lift_order"}, upside_down),
    "an item is left out and its layer too high for the rest": ({"once", "layer_height"}, left_out(2)),
    "the first two 0.01 mm too near": ({"web", "interior"}, shift("tin", 0, -0.01, 0)),
    "too near to the left edge": ({"wall", "interior"}, shift("H2", -0.01, 0, 0)),
    "too near to the front edge": ({"wall", "interior"}, shift("H2", 0, -0.01, 0)),
    "too near to the back edge": ({"wall", "interior"}, shift("wax", 0, 95.51, 0)),
    "too near to the right edge": ({"wall", "interior"}, shift("wax", 178.51, 0, 0)),
    "an item in the other layer by name": ({"floor", "layer", "layer_height", "web"}, own("wax", layer=0)),
    "an upright block on its side": ({"pose", "layer", "layer_height", "interior"}, on_its_side),
    "length and width swapped": ({"interior", "wall"}, top(interior_mm=[222.5, 345, 172])),
    "an item's x and y swapped": ({"wall", "web", "turn", "interior"}, swap_axes("H1")),
    "an item moved to the other layer": ({"web"}, all_of(shift("wax", 0, 0, -60), own("wax", layer=0, lift_order=2))),
    "a standing tool mirrored in height": ({"pose"}, mirror("H2", 2)),
    "a flat tool's face on the other side": ({"turn", "web"}, mirror("H1", 1)),
}  # fmt: skip


@pytest.mark.parametrize("name", WHOLE)
def test_a_fault_of_a_whole_layer_is_named_by_its_rules(name: str) -> None:
    rules, change = WHOLE[name]
    content = nesting()
    change(content)
    assert rules_broken(content, require="nesting") == rules


def test_the_good_plan_breaks_no_rule() -> None:
    assert problems(nesting(), require="nesting") == []


def test_a_problem_says_where_by_how_much_and_in_words() -> None:
    content = nesting()
    move(item(content, "wax"), 0, -0.01, 0)
    (problem,) = problems(content, require="nesting")
    assert (problem.rule, problem.where, problem.by_mm) == ("web", "H2, wax", 0.01)
    assert str(problem).endswith("H2 handle and wax block in layer 1 are 19.99 mm apart, web is 20 mm.")


@pytest.mark.parametrize("limit", [[345, 222.5, 172], [222.5, 345, 172]])
def test_the_largest_interior_may_be_turned(limit: list[float]) -> None:
    assert rules_broken(nesting(), by=order(max_interior=limit), require="nesting") == set()


@pytest.mark.parametrize("limit", [[344.99, 222.5, 172], [345, 222.49, 172], [345, 222.5, 171.99], [172, 222.5, 345]])
def test_an_interior_past_the_largest_is_named(limit: list[float]) -> None:
    assert rules_broken(nesting(), by=order(max_interior=limit), require="nesting") == {"max_interior"}


def ordered_as(name: str, **values: object) -> Content:
    content = order_file()
    next(one for one in content["items"] if one["id"] == name).update(values)
    return content


def test_a_tool_that_may_not_stand_is_named() -> None:
    changed = read_order(ordered_as("H2", may_stand=False))
    assert rules_broken(nesting(), by=changed, require="nesting") == {"pose"}


def test_a_tool_sharp_at_both_ends_is_named_when_it_stands() -> None:
    content = nesting()
    item(content, "H2")["sharp"] = "both"
    changed = read_order(ordered_as("H2", sharp="both"))
    assert rules_broken(content, by=changed, require="nesting") == {"pose"}


def test_a_tool_sharp_at_its_far_end_may_stand_on_its_face() -> None:
    content = nesting()
    item(content, "H2")["sharp"] = "far"
    changed = read_order(ordered_as("H2", sharp="far"))
    assert rules_broken(content, by=changed, require="nesting") == set()


def turned_quarter(content: Content) -> None:
    """The whole plan a quarter turn counter-clockwise, every item with it."""
    width = content["interior_mm"][1]
    for one in content["items"]:
        one["turn"] = (one["turn"] + 90) % 360 if one["kind"] == "tool" else 0
        for box in one["parts"]:
            (x0, y0, z0), (x1, y1, z1) = box["min_mm"], box["max_mm"]
            box["min_mm"], box["max_mm"] = [width - y1, x0, z0], [width - y0, x1, z1]
    content["interior_mm"] = [content["interior_mm"][1], content["interior_mm"][0], content["interior_mm"][2]]


@pytest.mark.parametrize("times", [1, 2, 3])
def test_a_plan_turned_as_a_whole_keeps_every_rule_but_which_side_is_longer(times: int) -> None:
    content = nesting()
    for _ in range(times):
        turned_quarter(content)
    assert rules_broken(content, require="nesting") == ({"interior"} if times % 2 else set())


def test_a_layer_may_be_higher_within_layer_spare_where_that_saves_sheets() -> None:
    content = nesting()
    raised(content, 2)
    content["layers"][0] = {"floor_mm": 25, "height_mm": 50}
    for name in ("H1", "tin"):
        move(item(content, name), 0, 0, -2)
    assert rules_broken(content, by=order(layer_spare=2), require="nesting") == set()
    assert rules_broken(content, by=order(layer_spare=1.99), require="nesting") == {"layer_height"}


def test_a_higher_layer_that_saves_no_sheet_is_named() -> None:
    content = nesting()
    last_layer_higher(content, 10)
    assert rules_broken(content, by=order(layer_spare=20), require="nesting") == {"layer_height"}


def test_touching_pieces_are_legal_where_all_gaps_are_nothing() -> None:
    sizes = {"kind": "block", "length": 10, "width": 20, "height": 30, "weight_g": 5}
    rules = {"clearance": 0, "web": 0, "wall": 0, "base_pad": 0, "layer_pad": 0, "top_pad": 0, "sheets": [30]}
    touching = read_order({"id": "t", "rules": rules, "items": [{"id": "a", **sizes}, {"id": "b", **sizes}]})
    content = {
        "order": "t", "status": "planned", "interior_mm": [20, 20, 30], "layers": [{"floor_mm": 0, "height_mm": 30}],
        "items": [{"id": name, "layer": 0, "pose": "block",
                   "parts": [{"part": "block", "min_mm": [x, 0, 0], "max_mm": [x + 10, 20, 30]}]}
                  for name, x in (("a", 0), ("b", 10))],
    }  # fmt: skip
    assert rules_broken(content, by=touching, require="nesting") == set()


def test_a_tool_whose_eye_is_in_the_middle_may_be_called_flipped_or_not() -> None:
    middle = order_file()
    middle["items"][0] |= {"eye_offset": 52.5}
    for flipped in (False, True):
        content = nesting()
        for corner in ("min_mm", "max_mm"):
            part(content, "H1", 1)[corner][1] += 2.5
        item(content, "H1").update(flipped=flipped, marked_up=not flipped)
        move(item(content, "tin"), 0, 2.5, 0)
        content["interior_mm"][1] += 2.5
        assert rules_broken(content, by=read_order(middle), require="nesting") == set()


def test_a_higher_layer_of_as_many_sheets_is_named() -> None:
    """62 mm are 50 and 12, 75 mm are 50 and 25."""
    content = nesting()
    last_layer_higher(content, 13)
    assert rules_broken(content, by=order(layer_spare=13), require="nesting") == {"layer_height"}


def test_a_tool_on_its_peen_is_told_so() -> None:
    content = nesting()
    span("H2", 1, 2, 109, 129)(content)
    (problem,) = problems(content, require="nesting")
    assert problem.message.endswith(
        "34 mm above the end it stands on; eye_offset is 28 mm, so the peen or edge is down."
    )


def test_a_tool_at_another_height_is_not_told_that_its_peen_is_down() -> None:
    content = nesting()
    span("H2", 1, 2, 104, 124)(content)
    (problem,) = problems(content, require="nesting")
    assert problem.message.endswith("29 mm above the end it stands on; eye_offset is 28 mm.")


def test_a_bound_rounded_up_to_the_next_cubic_millimetre_is_legal_and_proves_the_plan() -> None:
    content = nesting() | {"lower_bound_mm3": 13203151, "proven": True}
    assert rules_broken(content, require="nesting") == set()


def test_pieces_that_overlap_are_told_by_how_much() -> None:
    content = nesting()
    move(item(content, "wax"), 0, -27.5, 0)
    messages = [problem.message for problem in problems(content, require="nesting")]
    assert "the pockets of H2 handle and wax block in layer 1 overlap by 7.5 mm, web is 20 mm." in messages
