"""The command line: what it writes, what it refuses, its exit codes."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from packing.__main__ import main
from packing.check import check_plan
from packing.measure import read_order

HAMMER = {
    "id": "CH125-007",
    "kind": "tool",
    "head_length": 105,
    "head_height": 42,
    "head_width": 42,
    "handle_length": 250,
    "handle_width": 33,
    "handle_thickness": 23,
    "weight_g": 1368,
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
