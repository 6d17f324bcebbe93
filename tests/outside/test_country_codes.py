"""Two-letter codes and names of countries.

Source: ISO 3166-1 alpha-2 as the tz database gives it in iso3166.tab (public domain), read from the machine's tzdata.
EvidenceLevel: read in the original file. XK is not in ISO 3166-1; it is a user-assigned code in common use.
"""

from pathlib import Path

import pytest

from shop.countries import COUNTRIES, NAMES
from tests.outside import sources as src
from tests.outside.sources import against

pytestmark = against(src.COUNTRIES)

TABLE = Path("/usr/share/zoneinfo/iso3166.tab")


WRITTEN_OUT = {"BQ", "TC", "CI"}
needs_table = pytest.mark.skipif(not TABLE.is_file(), reason="the tz database's table of countries is not installed")


def published():
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    return dict(line.split("\t")[:2] for line in lines if line and not line.startswith("#"))


@needs_table
def test_the_countries_are_those_of_the_tz_database():
    assert set(published()) == COUNTRIES - {"XK"}


@needs_table
def test_names_without_brackets_or_short_forms_are_those_of_the_tz_database():
    plain = {code: name for code, name in published().items() if not {"(", "."} & set(name)}
    for code in plain.keys() - WRITTEN_OUT:
        assert NAMES[code] == plain[code].replace("&", "and")
