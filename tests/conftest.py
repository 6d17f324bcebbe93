"""Keeps tests away from the user's data folder and from any broker; property tests try the same examples every time."""

from collections.abc import Iterator
from typing import Any

import hypothesis
import pytest
from django.test import override_settings

from shop import app
from shop.config import data_folder
from shop.services import jobs

hypothesis.settings.register_profile("steady", deadline=None, derandomize=True, database=None)
hypothesis.settings.load_profile("steady")


@pytest.fixture(autouse=True, scope="session")
def _data_folder_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    root = tmp_path_factory.mktemp("data")
    data_folder.make(root)
    with override_settings(DATA_DIR=root, PAPERS_DIR=root / "papers"):
        yield


@pytest.fixture(autouse=True, scope="session")
def _bell_that_nobody_hears() -> None:
    app.conf.update(broker_url="memory://", broker_transport_options={})


@pytest.fixture(autouse=True)
def _nobody_asked_to_stop() -> Iterator[Any]:
    yield
    jobs.request_stop(stop=False)
