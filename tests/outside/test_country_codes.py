"""Two-letter codes of countries.

Source: ISO 3166-1 alpha-2 as the tz database gives it in iso3166.tab (public domain), read from the machine's tzdata.
Sureness: read in the original file. XK is not in ISO 3166-1; it is a user-assigned code in common use.
"""

from pathlib import Path

import pytest

from shop.countries import COUNTRIES

TABLE = Path("/usr/share/zoneinfo/iso3166.tab")


@pytest.mark.skipif(not TABLE.is_file(), reason="the tz database's table of countries is not installed")
def test_the_countries_are_those_of_the_tz_database():
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    assert {line[:2] for line in lines if line and not line.startswith("#")} == COUNTRIES - {"XK"}
