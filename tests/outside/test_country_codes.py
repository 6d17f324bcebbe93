"""Two-letter codes and names of countries.

Source: ISO 3166-1 alpha-2 as the tz database gives it in iso3166.tab (public domain), read from the machine's tzdata.
EvidenceLevel: read in the original file. XK is not in ISO 3166-1; it is a user-assigned code in common use.
"""

from pathlib import Path
from typing import Any

import pytest

from shop.countries import country_choices, country_name
from tests.outside import sources as src
from tests.outside.sources import against

pytestmark = against(src.COUNTRIES)

TABLE = Path("/usr/share/zoneinfo/iso3166.tab")
CLOSE_TO_EACH_OTHER = {
    "Germany": "DE", "Georgia": "GE", "Ireland": "IE", "Iran": "IR", "Austria": "AT", "Australia": "AU",
    "Denmark": "DK", "Switzerland": "CH", "Sweden": "SE", "Slovakia": "SK", "Slovenia": "SI",
}  # fmt: skip
"""Names whose first two letters are another country's code, or one that is easily taken for theirs."""
needs_table = pytest.mark.skipif(not TABLE.is_file(), reason="the tz database's table of countries is not installed")


def published() -> Any:
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    return dict(line.split("\t")[:2] for line in lines if line and not line.startswith("#"))


@needs_table
def test_the_countries_are_those_of_the_tz_database() -> None:
    assert set(published()) == {code for code, _name in country_choices()} - {"", "XK"}


@needs_table
@pytest.mark.parametrize(("name", "code"), CLOSE_TO_EACH_OTHER.items())
def test_a_name_stands_for_the_country_that_the_tz_database_gives_it(name: Any, code: Any) -> None:
    assert published()[code] == country_name(code) == name
