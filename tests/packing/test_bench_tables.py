"""The benchmarks' own arithmetic: orders made from published problems, ratios, limits, tables, the rival's checker."""

import random
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from packing.measure import BadInput, Block, Rules, Tool, read_order
from packing.pose import orientations_of
from tests.bench import instances, judge, run, tables
from tests.bench.limits import LARGE, LONG_S, MEDIUM, MIDDLE_S, PROOF_S, SMALL, STRESS_ITEMS, group_of
from tests.bench.machine import Machine, describe
from tests.bench.measure import Measured, Watch, measure
from tests.bench.pile import Lain, extent_of, flaws, grown_poses, interior_of, pack_once, search
from tests.bench.plot import drawing
from tests.bench.rows import Row, append, last_run, row_of
from tests.helpers import instance, present

KNOWN = instances.Best(1000.0, 800.0, False)
PLAN = Row(
    "plan", "o1", 4, 2, MIDDLE_S, volume_mm3=1010.0, known_mm3=1000.0, bound_mm3=900.0, wall_s=1.0, peak_mb=150.0
)
MACHINE = Machine("2026-11-25 10:00 UTC", "abc1234", "Example CPU", 2, "3.11.7", "0.62", 0.1)


def sentences(*rows: Any, whole: bool = False) -> Any:
    return judge.failures(rows, whole=whole)


# Published problems as orders


@pytest.mark.parametrize("problem", instances.published(), ids=lambda problem: problem.name)
def test_a_published_problem_is_an_order_whose_items_fit_into_its_answer_by_volume(problem: Any) -> None:
    order = instances.read(problem.content)
    volume = 0
    for item in order.items:
        parts = orientations_of(item)[0].parts
        volume += sum((p.x1 - p.x0) * (p.y1 - p.y0) * (p.z1 - p.z0) for p in parts)
    assert volume <= problem.answer_mm3 * 10**9
    assert problem.source


def test_published_problems_have_names_of_their_own() -> None:
    names = [problem.name for problem in instances.published()]
    assert len(set(names)) == len(names)


def test_squares_1_to_3_become_upright_blocks_of_one_height_in_one_layer() -> None:
    problem = next(problem for problem in instances.published() if problem.name == "squares 1 to 3")
    order = instances.read(problem.content)
    blocks = [instance(Block, item) for item in order.items]
    sizes = [(item.length_um, item.width_um, item.height_um, item.upright) for item in blocks]
    assert sizes == [(side * 10_000, side * 10_000, 10_000, True) for side in (1, 2, 3)]
    assert present(order.rules.max_interior_um)[2] == 10_000
    assert problem.answer_mm3 == 15 * 10**3


def test_rectangles_are_one_longer_than_wide() -> None:
    problem = next(problem for problem in instances.published() if problem.name.endswith("k to 2"))
    assert [(item["length"], item["width"]) for item in problem.content["items"]] == [(20, 10), (30, 20)]


def test_a_t_pentomino_is_a_head_of_three_with_a_handle_of_two() -> None:
    problem = next(problem for problem in instances.published() if problem.name == "1 T-pentominoes")
    tool = instance(Tool, instances.read(problem.content).items[0])
    assert (tool.head_length_um, tool.head_height_um, tool.handle_length_um) == (30_000, 10_000, 20_000)
    assert {orientation.pose for orientation in orientations_of(tool)} == {"flat"}


def test_least_volume_boxes_stand_freely_and_lie_six_ways() -> None:
    problem = next(problem for problem in instances.published() if problem.name == "3 boxes of Chen, Lee and Shen")
    order = instances.read(problem.content)
    assert problem.free
    assert not order.rules.layered
    assert len(orientations_of(order.items[0])) == 6


# Open orders


def test_every_open_order_has_a_best_known_volume_not_below_its_bound() -> None:
    best = instances.best_known()
    assert set(best) == set(instances.order_contents())
    assert all(one.bound_mm3 <= one.volume_mm3 for one in best.values())


def test_open_orders_come_with_fewest_items_first() -> None:
    counts = [len(content["items"]) for content in instances.order_contents().values()]
    assert counts == sorted(counts)
    assert (counts[0], counts[-1], len(counts)) == (1, 24, 23)


@pytest.mark.parametrize("name", instances.order_contents())
def test_boxed_tools_have_the_bounding_boxes_of_the_tools_in_every_pose(name: Any) -> None:
    order = instances.read(instances.order_contents()[name])
    for item, box in zip(order.items, instances.boxed(order).items, strict=True):
        sizes = {
            (orientation.pose, orientation.length_um, orientation.width_um, orientation.need_um)
            for orientation in orientations_of(item)
        }
        assert {
            (orientation.pose, orientation.length_um, orientation.width_um, orientation.need_um)
            for orientation in orientations_of(box)
        } == sizes


def test_a_boxed_tool_fills_its_bounding_box() -> None:
    order = instances.read(instances.order_contents()["o03-n02-twins"])
    for orientation in orientations_of(instances.boxed(order).items[0]):
        area = sum((part.x1 - part.x0) * (part.y1 - part.y0) for part in orientation.parts)
        assert area == orientation.length_um * orientation.width_um


def test_a_repeated_order_takes_the_items_in_turn_under_new_ids() -> None:
    content = instances.order_contents()["o03-n02-twins"]
    grown = instances.repeated(content, 5)
    assert [item["id"] for item in grown["items"]] == ["r01", "r02", "r03", "r04", "r05"]
    assert [item["head_length"] for item in grown["items"]] == [127.5] * 5
    assert grown["rules"] == content["rules"]


# The rival and its checker

CUBES = [[(10, 10, 10)], [(10, 20, 10), (20, 10, 10)]]
GOOD = [Lain(0, (0, 0, 0), (10, 10, 10)), Lain(1, (10, 0, 0), (10, 20, 10))]


def test_a_sound_pile_has_no_flaws() -> None:
    assert flaws(CUBES, (20, 20, 10), GOOD) == []


@pytest.mark.parametrize(
    ("lain", "flaw"),
    [
        (GOOD[:1], "item 1 is packed 0 times"),
        ([*GOOD, Lain(0, (0, 10, 0), (10, 10, 10))], "item 0 is packed 2 times"),
        ([*GOOD, Lain(7, (0, 10, 0), (10, 10, 10))], "item 7 is not in the order"),
        ([GOOD[0], Lain(1, (10, 0, 0), (10, 10, 20))], "no pose of it"),
        ([GOOD[0], Lain(1, (11, 0, 0), (10, 20, 10))], "item 1 at (11, 0, 0) reaches out"),
        ([Lain(0, (0, -1, 0), (10, 10, 10)), GOOD[1]], "item 0 at (0, -1, 0) reaches out"),
        ([GOOD[0], Lain(1, (9, 0, 0), (10, 20, 10))], "items 0 and 1 overlap"),
        ([Lain(0, (10, 5, 0), (10, 10, 10)), GOOD[1]], "items 0 and 1 overlap"),
    ],
)
def test_a_broken_pile_is_found_out(lain: Any, flaw: Any) -> None:
    assert any(flaw in found for found in flaws(CUBES, (20, 20, 10), lain))


@pytest.mark.parametrize("turn", [(0, 1, 2), (2, 0, 1), (1, 0, 2)])
def test_what_py3dbp_packs_in_a_turned_container_is_turned_back(turn: Any) -> None:
    poses = [[(10, 20, 30)], [(10, 20, 30)], [(5, 20, 30)]]
    lain = present(pack_once(poses, (25, 20, 30), turn, largest_first=True, chance=random.Random(1)))
    assert flaws(poses, (25, 20, 30), lain) == []
    assert extent_of(lain) == (25, 20, 30)


def test_a_container_that_is_too_small_gives_no_pile() -> None:
    poses = [[(10, 20, 30)], [(10, 20, 30)]]
    assert pack_once(poses, (19, 20, 30), (0, 1, 2), largest_first=True, chance=random.Random(1)) is None


def test_boxes_are_grown_by_gaps_and_their_height_by_sheets_and_pad() -> None:
    block = {"id": "a", "kind": "block", "length": 100, "width": 50, "height": 30, "weight_g": 1, "upright": True}
    rules = {"clearance": 1.5, "web": 20, "layer_pad": 12, "sheets": [12, 25]}
    order = read_order({"id": "o", "items": [block], "rules": rules})
    assert grown_poses(order) == [[(73_000, 123_000, 48_000), (123_000, 73_000, 48_000)]]


def test_the_interior_of_a_pile_counts_walls_and_pads_once() -> None:
    rules = Rules(web_um=20, wall_um=25, base_pad_um=30, layer_pad_um=12, top_pad_um=40)
    assert interior_of(rules, (120, 60, 48)) == (150, 90, 106)


def test_one_item_alone_has_the_proven_interior_in_its_best_grown_pose() -> None:
    content = instances.order_contents()["o01-n01-hammer"]
    planned = measure({"kind": "plan", "order": content, "seconds": 1, "seed": 1})
    order = instances.read(content)
    interiors = [interior_of(order.rules, sides) for sides in grown_poses(order)[0]]
    assert planned.problems == []
    assert planned.proven
    assert min(x * y * z for x, y, z in interiors) == round(planned.volume_mm3 * 10**9)


def test_a_search_without_time_tries_one_container() -> None:
    order = instances.read(instances.order_contents()["o03-n02-twins"])
    pile = search(order, seconds=1e-9, seed=1)
    assert (pile.tried, pile.refused, len(pile.lain)) == (1, 0, 2)
    length, width, _ = present(pile.interior_um)
    assert length >= width


# Rows


def test_a_row_knows_its_ratio_its_gap_and_when_it_was_near() -> None:
    measured = Measured(volume_mm3=1100.0, bound_mm3=1000.0, trace=[(0.1, 1400.0), (0.4, 1150.0), (0.9, 1100.0)])
    row = row_of(measured, kind="plan", name="o1", items=4, tools=2, asked_s=1.0, known=KNOWN)
    assert row.ratio == pytest.approx(1.1)
    assert row.gap == pytest.approx(0.1)
    assert (row.first_s, row.near_s) == (0.1, 0.4)


def test_a_row_without_a_volume_has_neither_ratio_nor_gap() -> None:
    row = row_of(Measured(status="not found"), kind="plan", name="o1", items=4, tools=2, asked_s=1.0, known=KNOWN)
    assert (row.ratio, row.gap) == (None, None)


def test_results_are_appended_and_the_newest_run_is_read_back(tmp_path: Path) -> None:
    path = tmp_path / "results.csv"
    later = replace(MACHINE, date="2026-11-26 10:00 UTC")
    append(path, MACHINE, [PLAN, replace(PLAN, name="o2")])
    append(path, later, [replace(PLAN, proven=True, note="a, “b”")])
    assert last_run(path) == (later, [replace(PLAN, proven=True, note="a, “b”")])
    assert len(path.read_text().splitlines()) == 4


# Limits


def test_a_good_row_misses_nothing() -> None:
    assert sentences(PLAN) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"volume_mm3": 1030.1}, "1.0301 of the best known, limit 1.03"),
        ({"broken": 2, "note": "web"}, "breaks 2 rules: web"),
        ({"status": "not found", "volume_mm3": 0.0}, "not found"),
        ({"peak_mb": 501.0}, "501 MB"),
        ({"bound_mm3": 1000.1}, "refuted"),
        ({"volume_mm3": 999.0, "known_proven": True}, "proven to be the least"),
        ({"kind": "published"}, "the known answer is 1000 mm³"),
        ({"kind": "growth", "items": STRESS_ITEMS, "wall_s": 10.1}, "10.1 s to a valid plan"),
        ({"kind": "start"}, "1.00 s from nothing"),
    ],
)
def test_a_figure_that_misses_its_limit_is_named(change: Any, words: Any) -> None:
    found = sentences(replace(PLAN, **change))
    assert len(found) == 1
    assert words in found[0]
    assert "o1" in found[0]


def test_an_average_over_its_limit_is_a_miss_of_a_whole_run_alone() -> None:
    rows = [PLAN, replace(PLAN, name="o2", volume_mm3=1002.0)]
    assert sentences(*rows) == []
    assert sentences(*rows, whole=True) == ["up to 6 items at 1 s: 1.0060 of the best known on average, limit 1.005"]


def test_after_a_minute_orders_of_all_sizes_are_averaged_together() -> None:
    rows = [replace(PLAN, asked_s=60.0, volume_mm3=1001.0), replace(PLAN, name="o2", items=20, asked_s=60.0)]
    assert sentences(rows[0], replace(rows[1], volume_mm3=999.0), whole=True) == []
    assert sentences(rows[0], replace(rows[1], volume_mm3=999.6), whole=True) == [
        "all at 60 s: 1.0003 of the best known on average, limit 1"
    ]


def test_a_gap_too_wide_on_average_is_a_miss() -> None:
    row = replace(PLAN, items=6, asked_s=PROOF_S, bound_mm3=800.0)
    assert sentences(row, whole=True) == ["up to 6 items at 20 s: 26.2% above the bound on average, limit 15%"]


def test_one_small_order_may_stay_unproven_and_no_more() -> None:
    rows = [replace(PLAN, name=name, asked_s=PROOF_S, bound_mm3=950.0) for name in ("o1", "o2")]
    assert sentences(rows[0], whole=True) == []
    assert "not proven are o1, o2" in sentences(*rows, whole=True)[0]


@pytest.mark.parametrize(("tools", "missed"), [(2, 1), (1, 0)])
def test_a_rival_as_good_is_a_miss_where_there_are_two_tools(tools: Any, missed: Any) -> None:
    rows = [replace(PLAN, asked_s=LONG_S, tools=tools), Row("pile", "o1", 4, tools, 10.0, volume_mm3=1010.0)]
    assert len(sentences(*rows)) == missed


def test_a_smaller_plan_than_the_best_known_is_a_new_best_once() -> None:
    rows = [replace(PLAN, volume_mm3=volume, asked_s=at) for volume, at in ((999.0, 1.0), (998.0, 5.0))]
    assert judge.new_bests(rows) == ["new best: o1 998.000 mm³, 0.99800 of the best known"]
    assert judge.new_bests([replace(rows[0], broken=1)]) == []
    assert judge.new_bests([PLAN]) == []


def test_orders_are_grouped_by_their_items() -> None:
    assert [group_of(items) for items in (1, 6, 7, 12, 13, 24)] == [SMALL, SMALL, MEDIUM, MEDIUM, LARGE, LARGE]


# Tables and picture


def test_columns_are_as_wide_as_their_widest_cell() -> None:
    assert tables.table(["a", "bb"], [["xyz", "1"]]) == "a    bb\n---  --\nxyz   1"


def test_the_table_of_orders_has_a_line_an_order_and_a_mean_a_group() -> None:
    rows = [
        PLAN,
        replace(PLAN, name="o2", volume_mm3=1030.0),
        Row("boxes", "o1", 4, 2, volume_mm3=1200.0, known_mm3=1e3),
    ]
    lines = tables.order_table(rows).splitlines()
    assert [line.split()[0] for line in lines[2:]] == ["o1", "o2", "mean,"]
    assert lines[2].split()[-2:] == ["1.200", "-"]
    assert lines[4].split()[-4:] == ["1.0200", "13.3%", "1.200", "-"]


def test_margins_are_averages_over_orders_of_two_tools_or_more() -> None:
    rows = [
        replace(PLAN, asked_s=LONG_S, volume_mm3=1000.0),
        replace(PLAN, asked_s=LONG_S, name="o2", tools=1),
        Row("boxes", "o1", 4, 2, volume_mm3=1300.0),
        Row("boxes", "o2", 4, 1, volume_mm3=9000.0),
    ]
    assert tables.margins(rows).splitlines()[2].split() == ["up", "to", "6", "items", "1", "1.300", "1.24", "-", "1.31"]


def test_published_answers_are_shown_in_units() -> None:
    rows = [
        Row("published", "squares", volume_mm3=15_000.0, known_mm3=15_000.0),
        Row("published", "b", status="no answer"),
    ]
    lines = tables.published_table(rows).splitlines()
    assert lines[2].split()[1:3] == ["15", "15"]
    assert "no answer" in lines[3]


def test_the_picture_has_a_mark_for_every_figure() -> None:
    rows = [replace(PLAN, asked_s=LONG_S), Row("boxes", "o1", 4, 2, volume_mm3=1200.0, known_mm3=1000.0)]
    root = ET.fromstring(drawing(MACHINE, rows))
    circles = root.findall(".//{http://www.w3.org/2000/svg}circle")
    keys = 1 + 1 + 2 + 2
    assert len(circles) == keys + 3
    assert "Example CPU" in "".join(root.itertext())


# What a run takes


def test_a_quick_run_takes_part_of_a_whole_one_and_a_long_one_more() -> None:
    taken = {
        name: {(job.kind, job.name, job.seconds) for job in run.jobs(quick=name == "quick", long=name == "long")}
        for name in ("quick", "usual", "long")
    }
    assert {pair[:2] for pair in taken["quick"]} < {pair[:2] for pair in taken["usual"]}
    assert {pair[2] for pair in taken["long"] - taken["usual"]} == {60.0}


def test_the_stress_order_has_48_items() -> None:
    grown = [job.items for job in run.jobs(quick=False, long=False) if job.kind == "growth"]
    assert (min(grown), max(grown)) == (1, STRESS_ITEMS)


def test_a_watch_keeps_better_volumes_alone_and_stops_at_what_is_enough() -> None:
    watch = Watch(enough_mm3=90.0)
    for volume in (120.0, 130.0, 100.0):
        watch.note(volume)
    assert [volume for _, volume in watch.trace] == [120.0, 100.0]
    assert not watch.stop()
    watch.note(90.0)
    assert watch.stop()


def test_an_order_that_cannot_be_read_is_refused_before_it_is_measured() -> None:
    with pytest.raises(BadInput, match="items"):
        measure({"kind": "plan", "order": {"id": "x", "items": []}, "seconds": 1, "seed": 1})


def test_the_machine_is_described() -> None:
    machine = describe()
    assert machine.cores >= 1
    assert machine.cpu
    assert machine.python in machine.sentence


def test_blocks_are_not_counted_as_tools() -> None:
    taken = {job.name: job for job in run.jobs(quick=False, long=False)}
    assert (taken["o31-n12-mixed-blocks"].tools, taken["o31-n12-mixed-blocks"].items) == (7, 12)
    assert taken["squares 1 to 2"].tools == 0
