"""Settings read from the environment, and the checks that look at them together."""

import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured

from shop.config import checks, data_folder, environment


def test_environment_an_unset_variable_gives_the_default(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PORT", raising=False)
    assert environment.whole("PORT", 8000, least=1, most=65535) == 8000


def test_environment_an_empty_variable_counts_as_unset(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOWRIGHT_DEBUG", "  ")
    assert environment.flag("STOWRIGHT_DEBUG", default=True) is True


@pytest.mark.parametrize(("typed", "meant"), [("1", True), ("Yes", True), ("ON", True), ("0", False), ("off", False)])
def test_environment_a_flag_is_read_in_any_case(monkeypatch: pytest.MonkeyPatch, typed: Any, meant: Any) -> None:
    monkeypatch.setenv("STOWRIGHT_DEBUG", typed)
    assert environment.flag("STOWRIGHT_DEBUG") is meant


def test_environment_a_flag_that_is_neither_yes_nor_no_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOWRIGHT_DEBUG", "perhaps")
    with pytest.raises(ImproperlyConfigured, match=r"STOWRIGHT_DEBUG must be one of .* it is 'perhaps'"):
        environment.flag("STOWRIGHT_DEBUG")


@pytest.mark.parametrize("typed", ["0", "65536", "-1", "80.5", "eight", "٨٠"])
def test_environment_a_number_out_of_bounds_or_not_whole_is_refused(
    monkeypatch: pytest.MonkeyPatch, typed: Any
) -> None:
    monkeypatch.setenv("PORT", typed)
    with pytest.raises(ImproperlyConfigured, match="PORT must be a whole number from 1 to 65535"):
        environment.whole("PORT", 8000, least=1, most=65535)


def test_environment_words_are_split_at_commas(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOWRIGHT_HOSTS", " bench.local, ,192.168.1.5,")
    assert environment.words("STOWRIGHT_HOSTS") == ["bench.local", "192.168.1.5"]


def test_environment_an_address_may_be_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    assert environment.address("DATABASE_URL", schemes=["sqlite"]) == ""


@pytest.mark.parametrize("typed", ["mysql://host/shop", "sqlite", "postgres:host"])
def test_environment_an_address_of_an_untried_kind_is_refused_without_its_password(
    monkeypatch: pytest.MonkeyPatch, typed: Any
) -> None:
    monkeypatch.setenv("DATABASE_URL", typed)
    with pytest.raises(ImproperlyConfigured, match=r"DATABASE_URL must begin with one of sqlite://, postgres://; it"):
        environment.address("DATABASE_URL", schemes=["sqlite", "postgres"])


def test_environment_a_folder_is_made_absolute(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOWRIGHT_DATA", "~/forge")
    assert environment.folder("STOWRIGHT_DATA", Path("data")) == Path.home() / "forge"


def test_environment_the_data_folder_is_its_owners_alone(tmp_path: Path) -> None:
    data_folder.make(tmp_path / "data")
    assert {stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "data").rglob("*")} == {0o700, 0o600}


def test_environment_a_data_folder_that_cannot_be_made_is_refused_by_name(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(ImproperlyConfigured, match=r"file/data cannot be used \(Not a directory\)"):
        data_folder.make(tmp_path / "file" / "data")


def test_environment_the_secret_key_is_made_once_and_kept_secret(tmp_path: Path) -> None:
    first = data_folder.secret_key(tmp_path)
    assert len(first) >= 50
    assert data_folder.secret_key(tmp_path) == first
    assert [path.name for path in tmp_path.iterdir()] == ["secret_key"]
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600


def test_environment_two_shops_have_two_secret_keys(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    assert data_folder.secret_key(tmp_path) != data_folder.secret_key(tmp_path / "other")


def test_environment_the_file_broker_posts_and_reads_in_one_folder(tmp_path: Path) -> None:
    options = data_folder.broker_options(tmp_path, "filesystem://")
    assert options["data_folder_in"] == options["data_folder_out"] == str(tmp_path / "broker" / "letters")


def ids(found: Any) -> Any:
    return [message.id for message in found]


def test_environment_these_settings_pass_every_check(settings: Any) -> None:
    for check in (
        checks.secret_key_is_secret,
        checks.lease_outlasts_recovery,
        checks.debug_stays_at_home,
        checks.passwords_travel_covered,
    ):
        assert check() == []


def test_environment_a_secret_key_that_others_can_read_is_an_error(settings: Any, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path
    data_folder.secret_key(tmp_path)
    os.chmod(tmp_path / "secret_key", 0o644)
    assert ids(checks.secret_key_is_secret()) == ["stowright.E001"]


def test_environment_debug_pages_open_to_other_machines_are_an_error(settings: Any) -> None:
    settings.DEBUG, settings.OTHER_HOSTS = True, ["bench.local"]
    assert ids(checks.debug_stays_at_home()) == ["stowright.E002"]


def test_environment_a_very_short_lease_is_a_warning(settings: Any) -> None:
    settings.JOB_LEASE_SECONDS = 5
    assert ids(checks.lease_outlasts_recovery()) == ["stowright.W001"]


def test_environment_other_machines_without_https_are_a_warning(settings: Any) -> None:
    settings.HTTPS, settings.OTHER_HOSTS = False, ["bench.local"]
    assert ids(checks.passwords_travel_covered()) == ["stowright.W002"]


def test_environment_every_check_says_what_to_do(settings: Any, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path
    data_folder.secret_key(tmp_path)
    os.chmod(tmp_path / "secret_key", 0o644)
    settings.DEBUG, settings.JOB_LEASE_SECONDS, settings.OTHER_HOSTS = True, 3, ["bench.local"]
    found = [
        *checks.secret_key_is_secret(),
        *checks.lease_outlasts_recovery(),
        *checks.debug_stays_at_home(),
        *checks.passwords_travel_covered(),
    ]
    assert all(message.hint for message in found)
    assert len(found) == 4


def test_checks_debug_on_an_address_that_others_reach_is_warned_of(settings: Any) -> None:
    settings.DEBUG, settings.HOST = True, "0.0.0.0"
    assert [warning.id for warning in checks.debug_listens_at_home()] == ["stowright.W003"]
    settings.HOST = "127.0.0.1"
    assert checks.debug_listens_at_home() == []


def test_checks_a_data_folder_that_others_can_read_is_an_error(settings: Any, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path
    tmp_path.chmod(0o755)
    assert [error.id for error in checks.data_folder_is_private()] == ["stowright.E003"]
    tmp_path.chmod(0o700)
    assert checks.data_folder_is_private() == []


def test_data_folder_one_of_ours_that_others_can_read_is_closed(tmp_path: Path) -> None:
    data_folder.make(tmp_path)
    tmp_path.chmod(0o755)
    data_folder.make(tmp_path)
    assert stat.S_IMODE(tmp_path.stat().st_mode) == 0o700


def test_data_folder_one_with_the_compiled_search_alone_is_closed(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    (tmp_path / "kernels").mkdir()
    data_folder.make(tmp_path)
    assert stat.S_IMODE(tmp_path.stat().st_mode) == 0o700


def test_data_folder_an_open_one_with_other_things_in_it_is_refused_and_left_alone(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    (tmp_path / "letters.txt").touch()
    with pytest.raises(ImproperlyConfigured, match="can be read by others and holds other things"):
        data_folder.make(tmp_path)
    assert stat.S_IMODE(tmp_path.stat().st_mode) == 0o755
    assert [path.name for path in tmp_path.iterdir()] == ["letters.txt"]


def test_data_folder_says_how_it_is_copied(tmp_path: Path) -> None:
    data_folder.make(tmp_path)
    assert "manage.py backup" in (tmp_path / "READ-ME.txt").read_text()


def test_checks_a_shop_behind_https_is_ready_to_be_reached(tmp_path: Path) -> None:
    own = {"STOWRIGHT_HTTPS": "1", "STOWRIGHT_HOSTS": "forge.example", "STOWRIGHT_DATA": str(tmp_path / "data")}
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    root = Path(__file__).parents[3]
    done = subprocess.run(command, cwd=root, env={**os.environ, **own}, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
