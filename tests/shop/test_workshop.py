"""The workshop: what is missing or half made is noticed, and the Makefile says what it can do."""

import importlib.util
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.helpers import present

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def prepare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The preparing script, looking at an environment in a folder of its own that passes for a finished one."""
    spec = present(importlib.util.spec_from_file_location("prepare", ROOT / ".ci" / "prepare.py"))
    module = importlib.util.module_from_spec(spec)
    present(spec.loader).exec_module(module)
    monkeypatch.setattr(module, "VENV", tmp_path)
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "python").symlink_to("/bin/true")
    package = tmp_path / "lib" / "python3.11" / "site-packages" / "anvil"
    info = package.with_name("anvil-1.0.dist-info")
    for folder in (package, info):
        folder.mkdir(parents=True)
    (package / "__init__.py").touch()
    (info / "METADATA").write_text("Name: anvil\nVersion: 1.0\n")
    (info / "RECORD").write_text('anvil/__init__.py,,\nanvil/data.txt,,\n"anvil-1.0.dist-info/RECORD",,\n')
    (tmp_path / "ready.json").write_text(json.dumps({name: module.fingerprint(name) for name in module.PINS}))
    return module


def test_workshop_a_finished_environment_is_left_as_it_is(prepare: Any) -> None:
    assert prepare.is_ready(prepare.VENV, "run")
    assert prepare.is_ready(prepare.VENV, "test")


def test_workshop_an_environment_without_its_stamp_is_not_ready(prepare: Any) -> None:
    (prepare.VENV / "ready.json").unlink()
    assert not prepare.is_ready(prepare.VENV, "run")


def test_workshop_an_environment_with_half_a_stamp_is_not_ready(prepare: Any) -> None:
    (prepare.VENV / "ready.json").write_text('{"run": "12')
    assert not prepare.is_ready(prepare.VENV, "run")


def test_workshop_an_environment_that_lost_a_file_is_not_ready(prepare: Any) -> None:
    next(prepare.VENV.rglob("anvil/__init__.py")).unlink()
    assert not prepare.is_ready(prepare.VENV, "run")


def test_workshop_an_environment_whose_python_is_gone_is_not_ready(prepare: Any) -> None:
    (prepare.VENV / "bin" / "python").unlink()
    (prepare.VENV / "bin" / "python").symlink_to("/bin/false")
    assert not prepare.is_ready(prepare.VENV, "run")


def test_workshop_an_environment_made_to_run_is_not_ready_to_test(prepare: Any) -> None:
    (prepare.VENV / "ready.json").write_text(json.dumps({"run": prepare.fingerprint("run")}))
    assert prepare.is_ready(prepare.VENV, "run")
    assert not prepare.is_ready(prepare.VENV, "test")


def test_workshop_other_pins_ask_for_another_environment(
    prepare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pins = tmp_path / "requirements.txt"
    pins.write_text((ROOT / "requirements.txt").read_text() + "\nanvil==1.0\n")
    monkeypatch.setattr(prepare, "ROOT", tmp_path)
    assert not prepare.is_ready(prepare.VENV, "run")


def test_workshop_what_cannot_be_installed_is_named_with_what_fails_without_it(
    prepare: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    needs = [prepare.Need("bellows", lambda: False, "no fire"), prepare.Need("anvil", lambda: True, "no work")]
    monkeypatch.setattr(prepare, "as_root", lambda: None)
    missing = prepare.install_missing(needs)
    assert (prepare.names(missing), prepare.reasons(missing)) == ("bellows", "no fire")


def make(*arguments: Any) -> Any:
    command = ["make", "--no-print-directory", *arguments]
    return subprocess.run(command, cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)


def test_workshop_make_alone_lists_every_target() -> None:
    listed = {line.split()[0] for line in make().stdout.splitlines()}
    makefile = (ROOT / "Makefile").read_text()
    assert listed == set(makefile.partition(".PHONY: ")[2].partition("\n")[0].split())


def test_workshop_make_plan_without_an_order_says_how_it_is_used() -> None:
    done = make("plan")
    assert done.returncode == 2
    assert "make plan ORDER=file.json OUT=dir" in done.stdout


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-dev.txt"])
def test_workshop_every_pin_has_a_hash_and_no_file_names_a_registry(name: Any) -> None:
    text = (ROOT / name).read_text()
    pins = [line for line in text.splitlines() if "==" in line and not line.startswith((" ", "#"))]
    assert pins
    assert all(line.endswith("\\") for line in pins)
    assert "--hash=sha256:" in text
    assert "://" not in text
    assert "--index-url" not in text
    assert "--find-links" not in text
