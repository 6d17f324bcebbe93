"""The order: what is refused, what is read, what is only a warning."""

import json
import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packing.measure import (
    BLOCK_MEASURES,
    TOOL_MEASURES,
    BadInput,
    Block,
    PackingError,
    Rules,
    Tool,
    fill_ratio,
    input_sha256,
    item_content,
    order_content,
    read_item,
    read_order,
    rules_content,
    tool_warnings,
    warnings_for,
)

HAMMER: dict[str, Any] = {
    "id": "h", "kind": "tool", "head_length": 105, "head_height": 42, "head_width": 42, "eye_offset": 50,
    "handle_length": 250, "handle_width": 33, "handle_thickness": 23, "weight_g": 1440,
}  # fmt: skip
OUTLINE = {"head": [[0, 0], [42, 0], [42, 90], [30, 105], [10.5, 105], [0, 90]]}
TIN: dict[str, Any] = {"id": "tin", "kind": "block", "length": 70, "width": 60, "height": 30, "weight_g": 120}
NEEDED = [*[key for key in TOOL_MEASURES if key != "eye_offset"], "weight_g"]
WEIGHTS = ["weight_g", "head_weight_g"]
HUGE = {"up": Decimal("1e999999999"), "down": Decimal("-1e999999999"), "long": Decimal("9" * 5000), "int": 10**5000}


def order_of(*items: Any, **rest: Any) -> dict[str, Any]:
    return {"id": "o", "items": list(items) or [HAMMER], **rest}


def refusal(content: Any) -> BadInput:
    with pytest.raises(BadInput) as caught:
        read_order(content)
    return caught.value


def tool(**values: Any) -> Tool:
    read = read_item(HAMMER | values)
    assert isinstance(read, Tool)
    return read


# What is missing


@pytest.mark.parametrize("key", NEEDED)
def test_a_missing_measure_of_a_tool_is_refused_by_name(key: str) -> None:
    error = refusal(order_of({k: v for k, v in HAMMER.items() if k != key}))
    assert (error.field, error.message) == (f"items[0].{key}", "is missing.")


@pytest.mark.parametrize("key", [*BLOCK_MEASURES, "weight_g", "id", "kind"])
def test_a_missing_measure_of_a_block_is_refused_by_name(key: str) -> None:
    error = refusal(order_of(HAMMER, {k: v for k, v in TIN.items() if k != key}))
    assert (error.field, error.message) == (f"items[1].{key}", "is missing.")


@pytest.mark.parametrize("key", ["id", "items"])
def test_an_order_without_id_or_items_is_refused(key: str) -> None:
    assert refusal({k: v for k, v in order_of().items() if k != key}).field == key


@pytest.mark.parametrize("key", NEEDED)
def test_nothing_in_place_of_a_measure_is_missing(key: str) -> None:
    assert refusal(order_of(HAMMER | {key: None})).message == "is missing."


def test_an_empty_order_is_refused() -> None:
    assert "the order is empty" in refusal({"id": "o", "items": []}).message


# Signs, sizes, types


@pytest.mark.parametrize("key", TOOL_MEASURES)
@pytest.mark.parametrize("value", [0, -1, -0.01, 0.0])
def test_a_length_that_is_not_greater_than_zero_is_refused(key: str, value: float) -> None:
    error = refusal(order_of(HAMMER | {key: value}))
    assert (error.field, error.message) == (f"items[0].{key}", f"must be greater than zero, not {value:g} mm.")


@pytest.mark.parametrize("key", WEIGHTS)
@pytest.mark.parametrize("value", [0, -1, -0.001])
def test_a_weight_that_is_not_greater_than_zero_is_refused(key: str, value: float) -> None:
    assert "must be greater than zero" in refusal(order_of(HAMMER | {key: value})).message


@pytest.mark.parametrize("key", [*TOOL_MEASURES, *WEIGHTS])
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, Decimal("NaN"), Decimal("Infinity")])
def test_what_is_not_finite_is_refused(key: str, value: Any) -> None:
    error = refusal(order_of(HAMMER | {key: value}))
    assert error.field == f"items[0].{key}"
    assert "must be a finite number" in error.message


@pytest.mark.parametrize("key", [*TOOL_MEASURES, *WEIGHTS])
@pytest.mark.parametrize("value", [True, False, "105", "105 mm", [105], {"mm": 105}])
def test_what_is_no_number_is_refused(key: str, value: Any) -> None:
    error = refusal(order_of(HAMMER | {key: value}))
    assert error.field == f"items[0].{key}"
    assert error.message == f"must be a number, not {json.dumps(value)}."


@pytest.mark.parametrize("key", [*TOOL_MEASURES, *WEIGHTS])
@pytest.mark.parametrize("value", HUGE.values(), ids=HUGE.keys())
def test_a_number_of_any_size_is_refused_in_a_short_sentence(key: str, value: Any) -> None:
    error = refusal(order_of(HAMMER | {key: value}))
    assert error.field == f"items[0].{key}" and len(error.message) < 120


def test_a_length_is_held_against_hundredths_however_many_digits_it_has() -> None:
    fine = Decimal("105.0000000000000000000000000000000000000000001")
    assert "multiple of 0.01 mm" in refusal(order_of(HAMMER | {"head_length": fine})).message


@pytest.mark.parametrize("key", TOOL_MEASURES)
@pytest.mark.parametrize("value", [20.001, 20.005, 1e-9])
def test_a_length_finer_than_a_hundredth_is_refused(key: str, value: float) -> None:
    assert "must be a multiple of 0.01 mm" in refusal(order_of(HAMMER | {key: value})).message


@pytest.mark.parametrize(
    ("key", "most"), [("head_length", 1000), ("head_width", 1000), ("handle_length", 3000), ("handle_width", 5000)]
)
def test_an_absurd_length_is_refused_with_the_limit(key: str, most: int) -> None:
    error = refusal(order_of(HAMMER | {key: most + 0.01}))
    assert error.message == f"must be at most {most} mm, not {most + 0.01} mm."


@pytest.mark.parametrize("value", [1e300, 10**30, 10**400, 5000.01])
def test_an_absurd_block_is_refused(value: float) -> None:
    assert "must be at most 5000 mm" in refusal(order_of(TIN | {"length": value})).message


def test_an_absurd_weight_is_refused() -> None:
    assert "must be at most 100000 g" in refusal(order_of(HAMMER | {"weight_g": 100000.5})).message


@pytest.mark.parametrize("value", [None, [], "order", 3, True])
def test_what_is_no_order_is_refused(value: Any) -> None:
    assert refusal(value).field == "order"


@pytest.mark.parametrize("value", ["h", {"h": HAMMER}, 3, True])
def test_items_that_are_no_list_are_refused(value: Any) -> None:
    assert refusal({"id": "o", "items": value}).field == "items"


@pytest.mark.parametrize("value", ["h", [HAMMER], 3, None])
def test_an_item_that_is_no_object_is_refused(value: Any) -> None:
    assert refusal(order_of(HAMMER, value)).field == "items[1]"


@pytest.mark.parametrize("value", ["", "  ", 7, None, True, ["o"], "x" * 81, "a\nb", "a\x00b"])
def test_an_id_that_is_no_short_text_is_refused(value: Any) -> None:
    assert refusal(order_of() | {"id": value}).field == "id"
    assert refusal(order_of(HAMMER | {"id": value})).field == "items[0].id"


# Unknown and doubled


@pytest.mark.parametrize("key", ["customer", "rule", "item", "Items"])
def test_an_unknown_key_of_the_order_is_refused_by_name(key: str) -> None:
    assert refusal(order_of() | {key: 1}).field == key


@pytest.mark.parametrize("key", ["length", "head_lenght", "upright", "colour", "head_length_in"])
def test_an_unknown_key_of_a_tool_is_refused_by_name(key: str) -> None:
    error = refusal(order_of(HAMMER | {key: 1}))
    assert error.field == f"items[0].{key}"
    assert error.message.startswith("is not known here; known are id, kind, head_length")


@pytest.mark.parametrize("key", ["head_length", "sharp", "depth"])
def test_an_unknown_key_of_a_block_is_refused_by_name(key: str) -> None:
    assert refusal(order_of(TIN | {key: 1})).field == f"items[0].{key}"


@pytest.mark.parametrize("key", ["webb", "padding", "seconds"])
def test_an_unknown_rule_is_refused_by_name(key: str) -> None:
    assert refusal(order_of(rules={key: 1})).field == f"rules.{key}"


def test_a_doubled_id_is_refused_with_both_places() -> None:
    error = refusal(order_of(HAMMER, TIN, TIN | {"height": 20}))
    assert (error.field, error.message) == ("items[2].id", "“tin” is already the id of items[1].")


@pytest.mark.parametrize(("first", "second"), [("caf\u00e9", "cafe\u0301"), ("wax", "wax "), ("a b", "a  b")])
def test_ids_that_look_alike_on_paper_are_doubled(first: str, second: str) -> None:
    assert refusal(order_of(TIN | {"id": first}, TIN | {"id": second})).field == "items[1].id"


@pytest.mark.parametrize(
    ("key", "value"),
    [("kind", "hammer"), ("form", "spade"), ("sharp", "yes"), ("sharp", True), ("mark", "left"), ("kind", ["tool"])],
)
def test_an_unknown_word_is_refused_with_the_known_ones(key: str, value: Any) -> None:
    error = refusal(order_of(HAMMER | {key: value}))
    assert error.field == f"items[0].{key}"
    assert error.message.startswith("must be one of ")


@pytest.mark.parametrize("value", [1, 0, "yes", None, []])
def test_a_flag_that_is_not_true_or_false_is_refused(value: Any) -> None:
    assert "must be true or false" in refusal(order_of(HAMMER | {"may_stand": value})).message
    assert "must be true or false" in refusal(order_of(TIN | {"upright": value})).message


# Impossible tools


def test_a_handle_wider_than_the_head_is_long_is_refused() -> None:
    error = refusal(order_of(HAMMER | {"handle_width": 105.01}))
    assert (error.field, error.message) == (
        "items[0].handle_width",
        "105.01 mm is wider than the head is long (105 mm).",
    )


def test_a_handle_as_wide_as_the_head_is_long_is_read() -> None:
    assert tool(handle_width=105, eye_offset=52.5).handle_width_um == 105_000


@pytest.mark.parametrize("value", [105, 105.01, 400])
def test_an_eye_outside_the_head_is_refused(value: float) -> None:
    error = refusal(order_of(HAMMER | {"eye_offset": value}))
    assert error.field == "items[0].eye_offset"
    assert f"{value} mm lies outside the head" in error.message


def test_a_head_heavier_than_its_tool_is_refused() -> None:
    error = refusal(order_of(HAMMER | {"head_weight_g": 1440.001}))
    assert error.field == "items[0].head_weight_g"
    assert "more than the whole tool, 1440 g" in error.message


def test_a_head_heavier_than_solid_steel_is_refused_with_its_fill() -> None:
    error = refusal(order_of(HAMMER | {"weight_g": 1597}))
    assert error.field == "items[0].weight_g"
    assert error.message.startswith("the head would weigh 1.000 times its own box full of steel (7.85 g/cm³); at most")


def test_a_head_weight_heavier_than_solid_steel_is_refused_as_such() -> None:
    assert refusal(order_of(HAMMER | {"weight_g": 1700, "head_weight_g": 1460})).field == "items[0].head_weight_g"


def test_a_mallet_as_heavy_as_steel_is_refused_as_wood() -> None:
    assert "full of wood (1.3 g/cm³)" in refusal(order_of(HAMMER | {"form": "mallet"})).message


# Head box 100 x 40 x 50 mm = 200 cm³: 1570 g of steel, 260 g of dense wood. Handle box 200 x 20 x 10 mm = 40 cm³: 30 g.
ROUND: dict[str, Any] = {
    "head_length": 100, "head_height": 40, "head_width": 50,
    "handle_length": 200, "handle_width": 20, "handle_thickness": 10,
}  # fmt: skip


def test_fill_is_the_weight_less_the_handle_over_the_head_full_of_steel() -> None:
    assert fill_ratio(tool(**ROUND, weight_g=30 + 785)) == Decimal("0.5")


def test_fill_is_from_the_head_weight_where_it_is_given() -> None:
    assert fill_ratio(tool(**ROUND, weight_g=1500, head_weight_g=1177.5)) == Decimal("0.75")


def test_a_head_exactly_full_of_steel_is_read_and_a_milligram_more_refused() -> None:
    assert fill_ratio(tool(**ROUND, weight_g=1600)) == 1
    with pytest.raises(BadInput, match="weight_g"):
        tool(**ROUND, weight_g=1600.001)


BANDS = [
    ("hammer", 1570, "0.45", "0.95"),
    ("axe", 1570, "0.15", "0.6"),
    ("adze", 1570, "0.15", "0.6"),
    ("mallet", 260, "0.3", "0.95"),
]


@pytest.mark.parametrize(("form", "full_g", "low", "high"), BANDS)
def test_a_fill_at_the_edge_of_its_forms_band_is_usual(form: str, full_g: int, low: str, high: str) -> None:
    for edge in (low, high):
        assert tool_warnings(tool(**ROUND, form=form, weight_g=30 + float(full_g * Decimal(edge)))) == []


@pytest.mark.parametrize(("form", "full_g", "low", "high"), BANDS)
def test_a_fill_a_milligram_outside_its_forms_band_is_a_warning(form: str, full_g: int, low: str, high: str) -> None:
    for edge, off in ((low, Decimal("-0.001")), (high, Decimal("0.001"))):
        (sentence,) = tool_warnings(tool(**ROUND, form=form, weight_g=30 + float(full_g * Decimal(edge) + off)))
        assert f"usual for the form “{form}” is {100 * float(low):.0f} to {100 * float(high):.0f} %" in str(sentence)


def test_a_tool_lighter_than_its_handle_is_a_warning_not_an_error() -> None:
    (sentence,) = tool_warnings(tool(**ROUND, weight_g=10))
    assert "weight_g 10 g is no more than a handle of these measures weighs alone" in str(sentence)


@pytest.mark.parametrize("eye", [16.49, 88.51])
def test_a_handle_past_the_heads_end_is_a_warning(eye: float) -> None:
    (sentence,) = tool_warnings(tool(eye_offset=eye))
    assert "stands past the head's end" in str(sentence)


@pytest.mark.parametrize("eye", [16.5, 88.5])
def test_a_handle_flush_with_the_heads_end_is_usual(eye: float) -> None:
    assert tool_warnings(tool(eye_offset=eye)) == []


def test_a_handle_thicker_than_the_head_is_wide_is_a_warning() -> None:
    assert "the handle is thicker (42.01 mm)" in str(tool_warnings(tool(handle_thickness=42.01, weight_g=1500))[0])


def test_warnings_name_their_item() -> None:
    light = HAMMER | {"id": "light", "weight_g": 500}
    assert [str(line).split(":")[0] for line in warnings_for(read_order(order_of(HAMMER, light, TIN)))] == ["light"]


def test_a_block_denser_than_steel_is_a_warning() -> None:
    [line] = warnings_for(read_order(order_of(HAMMER, TIN | {"weight_g": 1200})))
    assert str(line).startswith("tin: at weight_g 1200 g the block is denser than steel (9.5 g/cm³")


# Rules


@pytest.mark.parametrize("value", [[], [500, 400], [500, 400, 300, 200], "large", 500])
def test_a_largest_interior_that_is_not_three_lengths_is_shown(value: Any) -> None:
    error = refusal(order_of(rules={"max_interior": value}))
    assert (error.field, error.message.endswith(f"not {json.dumps(value)}.")) == ("rules.max_interior", True)


def test_rules_that_are_left_out_have_their_defaults() -> None:
    assert read_order(order_of()).rules == Rules(1500, 20000, 25000, 25000, 12000, 25000, (12000, 25000, 50000), 0)


def test_gaps_and_pads_of_nothing_are_legal() -> None:
    names = ("clearance", "web", "wall", "base_pad", "layer_pad", "top_pad", "layer_spare")
    read = read_order(order_of(rules=dict.fromkeys(names, 0))).rules
    assert {getattr(read, f"{name}_um") for name in names} == {0}


@pytest.mark.parametrize("key", ["clearance", "web", "wall", "base_pad", "layer_pad", "top_pad", "layer_spare"])
@pytest.mark.parametrize("value", [-0.01, math.nan, "20", True, 0.001, 5000.01, None])
def test_a_rule_that_is_no_length_is_refused(key: str, value: Any) -> None:
    assert refusal(order_of(rules={key: value})).field == f"rules.{key}"


@pytest.mark.parametrize("value", [[], 12, "12", [0], [-12], [True], [12, math.inf], None])
def test_sheets_that_are_no_thicknesses_are_refused(value: Any) -> None:
    assert refusal(order_of(rules={"sheets": value})).field.startswith("rules.sheets")


def test_sheets_are_sorted_and_named_once() -> None:
    assert read_order(order_of(rules={"sheets": [50, 12, 25, 12]})).rules.sheets_um == (12000, 25000, 50000)


@pytest.mark.parametrize(
    "value", [[500, 400], [500, 400, 0], [500, 400, -1], 500, "500", [500, 400, True], [1, 2, 3, 4]]
)
def test_a_largest_interior_that_is_not_three_lengths_is_refused(value: Any) -> None:
    assert refusal(order_of(rules={"max_interior": value})).field.startswith("rules.max_interior")


@pytest.mark.parametrize("value", [0, -1, math.nan, True, "9 kg"])
def test_a_heaviest_gross_weight_that_is_none_is_refused(value: Any) -> None:
    assert refusal(order_of(rules={"max_gross_g": value})).field == "rules.max_gross_g"


def test_limits_that_are_null_are_off() -> None:
    rules = read_order(order_of(rules={"max_interior": None, "max_gross_g": None})).rules
    assert (rules.max_interior_um, rules.max_gross_mg) == (None, None)


@pytest.mark.parametrize("value", [3, "none", [20], True, [], 0, False, ""])
def test_rules_that_are_no_object_are_refused(value: Any) -> None:
    assert refusal(order_of(rules=value)).field == "rules"


def test_a_plan_without_layers_is_for_blocks_only() -> None:
    error = refusal(order_of(TIN, HAMMER, rules={"layered": False}))
    assert (error.field, error.message) == ("rules.layered", "false is for blocks only, but items[1] “h” is a tool.")


# Reading and writing


def test_lengths_are_read_as_whole_micrometres_without_float_noise() -> None:
    assert tool(head_length=110.07, handle_length=304.8).head_length_um == 110_070


@pytest.mark.parametrize("value", [105, 105.0, Decimal("105.00")])
def test_whole_numbers_floats_and_decimals_read_alike(value: Any) -> None:
    assert tool(head_length=value) == tool()


def test_an_eye_that_is_not_given_is_in_the_middle() -> None:
    content = {key: value for key, value in HAMMER.items() if key != "eye_offset"} | {"head_length": 105.01}
    read = read_item(content)
    assert isinstance(read, Tool)
    assert read.eye_offset_um == 52_505


def test_an_eye_in_the_middle_of_an_odd_hundredth_is_written_and_read_again() -> None:
    content = {key: value for key, value in HAMMER.items() if key != "eye_offset"} | {"head_length": 105.01}
    order = read_order(order_of(content))
    assert read_order(order_content(order)) == order


def test_an_order_written_and_read_again_is_the_same() -> None:
    rules = {"clearance": 0, "sheets": [10.5], "max_interior": [600, 400, 300], "max_gross_g": 9000.5, "layer_spare": 2}
    extras = {"form": "axe", "sharp": "far", "may_stand": False, "mark": "face_right", "head_weight_g": 400.25}
    items = [HAMMER | extras, TIN | {"upright": True}, HAMMER | {"id": "o", "outline": OUTLINE}]
    order = read_order(order_of(*items, rules=rules))
    assert read_order(json.loads(json.dumps(order_content(order)))) == order


def test_the_hash_of_an_order_hangs_on_every_measure_and_rule() -> None:
    orders = [
        read_order(order_of()),
        read_order(order_of(HAMMER | {"head_length": 105.01})),
        read_order(order_of(HAMMER, TIN)),
        read_order(order_of(TIN, HAMMER)),
        read_order(order_of(rules={"web": 20.01})),
    ]
    assert len({input_sha256(order) for order in orders}) == len(orders)


def test_the_hash_of_an_order_does_not_hang_on_what_is_left_out() -> None:
    assert input_sha256(read_order(order_of())) == input_sha256(read_order(order_of(rules={"web": 20, "wall": 25.0})))


def test_written_rules_leave_out_limits_that_are_off() -> None:
    assert "max_interior" not in rules_content(Rules())
    assert rules_content(replace(Rules(), max_gross_mg=500))["max_gross_g"] == 0.5


def test_an_error_of_the_input_is_one_of_the_library() -> None:
    assert issubclass(BadInput, PackingError)
    assert str(BadInput("items[0].id", "is missing.")) == "items[0].id: is missing."


@given(
    sizes=st.tuples(*[st.integers(1, 500_000)] * 3), weight=st.integers(1, 10**8), upright=st.booleans()
)  # hundredths of a millimetre, milligrams
def test_any_block_is_written_and_read_again_exactly(sizes: tuple[int, int, int], weight: int, upright: bool) -> None:
    block = Block("b", sizes[0] * 10, sizes[1] * 10, sizes[2] * 10, weight, upright)
    assert read_item(json.loads(json.dumps(item_content(block)))) == block


def refused_field(content: Any) -> str:
    """The field of the refusal, "items[0]" where the order is taken."""
    try:
        read_order(content)
    except BadInput as error:
        return error.field
    return "items[0]"


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(key=st.sampled_from([*TOOL_MEASURES, *WEIGHTS, "id", "kind", "form", "sharp", "mark", "outline"]), junk=JUNK)
def test_junk_in_a_tool_is_read_or_refused_by_name_but_never_crashes(key: str, junk: Any) -> None:
    assert refused_field(order_of(HAMMER | {key: junk})).startswith("items[0]")


@given(junk=JUNK)
def test_junk_for_an_order_is_refused_but_never_crashes(junk: Any) -> None:
    for content in (junk, {"id": "o", "items": junk}, order_of(rules=junk) if not isinstance(junk, dict) else junk):
        assert isinstance(refused_field(content), str)
