"""The command line: what it writes, what it refuses, its exit codes."""

import fcntl
import json
import os
import signal
import subprocess
import sys
from argparse import Namespace
from pathlib import Path

import pytest

from packing.check import check_plan
from packing.cli.files import MOST_BYTES
from packing.cli.main import _longest_wait, _wait_for_compiler, in_time, main
from packing.draw.cut_file_dxf import cut_files
from packing.measure import read_order
from packing.plan import plan_from_json

HAMMER = {
    "id": "CH125-007",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1440,
}


def write(folder: Path, content: object) -> str:
    path = folder / "order.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content), encoding="utf-8")
    return str(path)


def test_an_order_becomes_a_checked_plan_file(tmp_path: Path) -> None:
    content = {"id": "A-17", "items": [HAMMER, {**HAMMER, "id": "CH125-008"}]}
    assert main([write(tmp_path, content), "--out", str(tmp_path / "out"), "--effort", "2000"]) == 0
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert plan["order"] == "A-17" and check_plan(read_order(content), plan) == []


def test_the_same_effort_and_seed_write_the_same_plan_but_for_the_seconds(tmp_path: Path) -> None:
    order = write(tmp_path, {"id": "A-17", "items": [HAMMER, {**HAMMER, "id": "CH125-008"}]})
    plans = []
    for name in ("one", "two"):
        main([order, "--out", str(tmp_path / name), "--effort", "1500", "--seed", "3"])
        plans.append({**json.loads((tmp_path / name / "plan.json").read_text(encoding="utf-8")), "seconds": 0})
    assert plans[0] == plans[1]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("{", "is not JSON"),
        ('{"id": "A", "id": "B", "items": []}', "given twice"),
        ({"id": "A", "items": []}, "empty"),
        ({"id": "A", "items": [{**HAMMER, "head_length": -3}]}, "head_length"),
        ('{"id": "A", "items": [{"id": "b", "kind": "block", "length": NaN}]}', "length"),
        (json.dumps({"id": "A", "items": [HAMMER]}).replace("250", "9" * 5000), "handle_length"),
        (json.dumps({"id": "A", "items": [HAMMER]}).replace("250", "1e999999999"), "handle_length"),
        (json.dumps({"id": "A", "items": [HAMMER]}).replace("250", "1e" + "9" * 30), "out of all bounds"),
        ("[" * 100_000, "is not JSON"),
        ({"id": "lone \ud800", "items": [HAMMER]}, "printable"),
        ({"id": "NUL \0", "items": [HAMMER]}, "printable"),
        (" " * (MOST_BYTES + 1), "must have at most 10 MB"),
        ({"id": 105.5, "items": [HAMMER]}, "id: must be a text that is not empty, not 105.5."),
    ],
)
def test_bad_input_is_named_with_exit_2_and_writes_nothing(
    content: object, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([write(tmp_path, content), "--out", str(tmp_path / "out")]) == 2
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_missing_order_file_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([str(tmp_path / "none.json"), "--out", str(tmp_path / "out")]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_a_pipe_as_order_file_is_refused_and_not_waited_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert main([str(tmp_path / "pipe"), "--out", str(tmp_path / "out")]) == 2
    assert "must be a plain file" in capsys.readouterr().err


def test_a_box_too_large_for_one_blank_is_drawn_piece_by_piece(tmp_path: Path) -> None:
    rule = {"id": "rail", "kind": "block", "length": 2300, "width": 60, "height": 60, "weight_g": 9000}
    assert main([write(tmp_path, {"id": "A", "items": [rule]}), "--out", str(tmp_path), "--effort", "1"]) == 0
    pieces = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))["box"]["parts"]
    drawn = {path.name for path in tmp_path.glob("*.svg")}
    assert pieces and "blank.svg" not in drawn and {f"piece-{piece['id']}.svg" for piece in pieces} <= drawn


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_an_order_file_may_begin_with_a_byte_order_mark_and_have_any_line_ends(mark: str, tmp_path: Path) -> None:
    text = mark + json.dumps({"id": "A", "items": [HAMMER]}).replace(",", ",\r\n")
    assert main([write(tmp_path, text), "--out", str(tmp_path / "out"), "--effort", "1"]) == 0


@pytest.mark.parametrize("place", ["order.json", "order.json/new", "order.json/new/deep", "", "x" * 300])
def test_an_output_folder_that_cannot_be_one_is_refused_before_planning(
    place: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = write(tmp_path, {"id": "A", "items": [HAMMER]})
    assert main([order, "--out", str(tmp_path / place) if place else "", "--seconds", "3600"]) == 2
    assert capsys.readouterr().err.startswith("--out: ")


def test_box_and_insert_are_written_as_cutting_files_where_asked(tmp_path: Path) -> None:
    out = tmp_path / "out"
    main([write(tmp_path, {"id": "A", "items": [HAMMER]}), "--out", str(out), "--effort", "1", "--cut-files"])
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    written = {path.name: path.read_text(encoding="utf-8") for path in out.glob("cut-*")}
    assert written == {f"cut-{name}": text for name, text in cut_files(plan_from_json(plan)).items()}
    assert {"cut-x1-blank.svg", "cut-x1-blank.dxf", "cut-s1-insert-sheet.dxf"} <= set(written)


@pytest.mark.parametrize("options", [["--cut-by", "spoon"], ["--kerf", "-1"], ["--kerf", "26"]])
def test_a_cut_that_no_tool_makes_is_refused_before_the_search(
    options: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def searched(*_: object, **__: object) -> None:
        pytest.fail("searched first")

    monkeypatch.setattr("packing.planning.plan_parcel", searched)
    order, out = write(tmp_path, {"id": "A", "items": [HAMMER]}), str(tmp_path / "out")
    assert main([order, "--out", out, "--effort", "1", "--cut-files", *options]) == 2


def test_a_cut_too_wide_for_a_part_is_refused_and_the_plan_is_kept(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order, out = write(tmp_path, {"id": "A", "items": [HAMMER]}), tmp_path / "out"
    wide = ["--cut-files", "--cut-by", "router", "--kerf", "25"]
    assert main([order, "--out", str(out), "--effort", "1", *wide]) == 2
    assert "must be narrower than the slots of X1" in capsys.readouterr().err
    assert (out / "plan.json").exists() and (out / "side-section.svg").exists()
    assert not list(out.glob("cut-*"))


def test_what_cannot_be_written_is_told_and_leaves_the_old_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = write(tmp_path, {"id": "A", "items": [HAMMER]})
    (tmp_path / "out" / "plan.json").mkdir(parents=True)
    assert main([order, "--out", str(tmp_path / "out"), "--effort", "1"]) == 2
    assert "--out: cannot be written" in capsys.readouterr().err
    assert not list((tmp_path / "out").glob(".*.part"))


def test_drawings_of_an_earlier_plan_do_not_stay_beside_a_new_one(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    for name in ("layer-9.svg", "sheet-S77.svg", "cut-x9-pad.dxf", "mine.svg"):
        (out / name).write_text("old", encoding="utf-8")
    main([write(tmp_path, {"id": "A", "items": [HAMMER]}), "--out", str(out), "--effort", "1"])
    assert (out / "layer-1.svg").exists() and (out / "mine.svg").exists()
    assert not (out / "layer-9.svg").exists() and not (out / "sheet-S77.svg").exists()
    assert not (out / "cut-x9-pad.dxf").exists()


def test_no_drawing_stays_beside_the_news_that_there_is_no_plan(tmp_path: Path) -> None:
    out = tmp_path / "out"
    main([write(tmp_path, {"id": "A", "items": [HAMMER]}), "--out", str(out), "--effort", "1"])
    small = {"id": "A", "rules": {"max_interior": [200, 200, 200]}, "items": [HAMMER]}
    assert main([write(tmp_path, small), "--out", str(out)]) == 3
    assert [path.name for path in out.iterdir()] == ["plan.json"]


def test_files_may_be_read_by_whoever_may_read_new_files(tmp_path: Path) -> None:
    main([write(tmp_path, {"id": "A", "items": [HAMMER]}), "--out", str(tmp_path / "out"), "--effort", "1"])
    (tmp_path / "new").touch()
    assert (tmp_path / "out" / "plan.json").stat().st_mode == (tmp_path / "new").stat().st_mode


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_hands_over_the_best_so_far_or_says_that_there_is_none(number: signal.Signals, tmp_path: Path) -> None:
    pieces = [{**HAMMER, "id": f"CH125-{index:03}", "weight_g": 600 + index} for index in range(9)]
    order = write(tmp_path, {"id": "A", "items": pieces})
    command = [sys.executable, "-m", "packing", order, "--out", str(tmp_path / "out"), "--seconds", "3600"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stderr is not None and b"warning" in run.stderr.readline()
        run.send_signal(number)
        run.communicate(timeout=60)
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert (run.returncode, plan["status"]) in {(0, "planned"), (3, "not found")}


@pytest.mark.parametrize(("begun", "ended"), [(-1e9, True), (1e9, False)])
def test_a_search_ends_early_where_the_command_would_be_late(begun: float, ended: bool) -> None:
    order = read_order({"id": "A", "items": [HAMMER]})
    late = in_time(order, Namespace(effort=None, seconds=1e-9, cut_files=False, aim="volume"), begun, lambda: False)
    assert [late(), late()][1] is ended


def test_a_search_bounded_by_effort_never_asks_the_clock() -> None:
    order = read_order({"id": "A", "items": [HAMMER]})
    assert not in_time(order, Namespace(effort=5, seconds=None, cut_files=False, aim="volume"), -1e9, lambda: False)()


def test_a_command_that_finds_nothing_compiled_writes_a_plan_all_the_same(tmp_path: Path) -> None:
    content = {"id": "A-17", "items": [HAMMER, {**HAMMER, "id": "CH125-008"}]}
    command = [sys.executable, "-m", "packing", write(tmp_path, content), "--out", str(tmp_path / "out")]
    environment = dict(os.environ) | {"NUMBA_CACHE_DIR": str(tmp_path)}
    with (tmp_path / "lock").open("w") as lock:
        # While the folder is locked nothing is compiled into it; marked as done, nothing is afterwards.
        fcntl.flock(lock, fcntl.LOCK_EX)
        run = subprocess.run([*command, "--seconds", "1"], env=environment, capture_output=True, text=True, check=True)
        mark = "from packing import kernels; kernels.note_compiled()"
        subprocess.run([sys.executable, "-c", mark], env=environment, check=True)
    assert "note: The search was still being compiled" in run.stderr
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert check_plan(read_order(content), plan) == []
    assert "The search was still being compiled: plan again for a smaller box." in json.dumps(plan["notes"])


def test_no_plan_gives_exit_3_with_limit_and_piece_in_the_file(tmp_path: Path) -> None:
    order = write(tmp_path, {"id": "A", "rules": {"max_interior": [200, 200, 200]}, "items": [HAMMER]})
    assert main([order, "--out", str(tmp_path / "out")]) == 3
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert plan["status"] == "impossible" and plan["limit"] == "max_interior length"
    assert plan["item"] == "CH125-007" and plan["by_mm"] > 0


def test_an_unlikely_weight_is_a_warning_and_still_planned(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    order = write(tmp_path, {"id": "A", "items": [{**HAMMER, "weight_g": 500}]})
    assert main([order, "--out", str(tmp_path / "out")]) == 0
    assert "warning: CH125-007" in capsys.readouterr().err


@pytest.mark.parametrize("option", [["--seconds", "soon"], ["--effort", "1.5"], ["--seed", "x"], ["--seconds", "0"]])
def test_a_bad_option_exits_2(option: list[str], tmp_path: Path) -> None:
    order = write(tmp_path, {"id": "A", "items": [HAMMER]})
    done = subprocess.run(
        [sys.executable, "-m", "packing", order, "--out", str(tmp_path / "out"), *option],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2 and done.stderr


def test_a_box_can_be_chosen_by_what_a_service_bills(tmp_path: Path) -> None:
    order = write(tmp_path, {"id": "A", "items": [HAMMER, {**HAMMER, "id": "CH125-008"}]})
    options = ["--aim", "price", "--service", "ups ground", "--date", "2026-11-25", "--effort", "2000"]
    assert main([order, "--out", str(tmp_path / "out"), *options]) == 0


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--aim", "beauty"], "volume, price, work, flat"),
        (["--aim", "price"], "price: is missing"),
        (["--aim", "price", "--service", "pigeon"], "UPS Ground"),
    ],
)
def test_an_aim_that_cannot_be_followed_is_refused(
    options: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = write(tmp_path, {"id": "A", "items": [HAMMER]})
    assert main([order, "--out", str(tmp_path / "out"), *options]) == 2
    assert words in capsys.readouterr().err


@pytest.mark.parametrize(("items", "effort", "waits"), [(7, None, True), (6, None, False), (1, 1, False)])
def test_many_items_wait_a_little_for_the_compiler_and_few_do_not(
    items: int, effort: int | None, waits: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, answer in (("are_compiled", False), ("compile_beside", True), ("are_compiling", True)):
        monkeypatch.setattr(f"packing.kernels.{name}", lambda answer=answer: answer)
    monkeypatch.setattr("packing.cli.main.WAIT_SECONDS", 0.1)
    order = read_order({"id": "A", "items": [{**HAMMER, "id": str(number)} for number in range(items)]})
    arguments = Namespace(effort=effort)
    assert (_wait_for_compiler(_longest_wait(order, arguments), lambda: False) >= 0.1) is waits
    assert ("once: up to 0.1 s longer" in capsys.readouterr().err) is waits
