"""Where a service goes: within a country, abroad, anywhere, and from where."""

from typing import Any

import pytest

from packing.carry import SERVICES, read_service
from packing.measure import BadInput

ROW = {"carrier": "Post", "service": "road", "valid_from": "2026-01-01"}


@pytest.mark.parametrize(
    ("row", "way", "takes"),
    [
        ({}, ("SE", "DE"), True),
        ({"reach": "home"}, ("SE", "SE"), True),
        ({"reach": "home"}, ("SE", "DE"), False),
        ({"reach": "abroad"}, ("SE", "DE"), True),
        ({"reach": "abroad"}, ("SE", "SE"), False),
        ({"reach": "home", "sent_from": "US"}, ("US", "US"), True),
        ({"reach": "home", "sent_from": "US"}, ("SE", "SE"), False),
        ({"sent_from": "US, CA"}, ("CA", "DE"), True),
        ({"only_to": "DE, FR"}, ("SE", "FR"), True),
        ({"only_to": "DE, FR"}, ("SE", "NO"), False),
    ],
)
def test_a_service_takes_a_parcel_only_where_it_goes(row: Any, way: Any, takes: Any) -> None:
    assert read_service({**ROW, **row}).goes(*way) is takes


@pytest.mark.parametrize("row", [{"reach": "near"}, {"sent_from": "Germany"}, {"only_to": "DE,FR"}])
def test_a_reach_that_cannot_be_read_is_refused_by_field(row: Any) -> None:
    with pytest.raises(BadInput, match=next(iter(row))):
        read_service({**ROW, **row})


def test_no_domestic_service_of_the_published_ones_goes_to_germany() -> None:
    goes = {f"{one.carrier} {one.service}" for one in SERVICES if one.goes("US", "DE")}
    assert "UPS Ground, United States" not in goes
    assert {"UPS abroad", "DHL Express"} <= goes
