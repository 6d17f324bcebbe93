"""Screws and nails: how long, how many, what is refused."""

from typing import Any

import pytest

from packing.materials import NAILS, SCREWS, clinched, nailed, screwed
from packing.materials.fasteners import NAIL_SPACING_UM
from packing.measure import BadInput


@pytest.mark.parametrize("thick", [6_000, 9_000, 12_000, 15_000, 18_000, 19_000])
def test_a_screw_reaches_into_the_holding_piece_by_the_fastened_thickness_and_seven_diameters(thick: Any) -> None:
    screw = screwed(thick, 200_000).fastener
    assert screw.length_um - thick >= max(thick, 7 * screw.diameter_um)


def test_a_screw_into_an_edge_is_at_most_a_third_of_it_thick() -> None:
    assert screwed(9_000, 100_000, edge_um=9_000).fastener.diameter_um == 3_000


def test_pilot_and_clearance_holes_follow_the_shank() -> None:
    drills = {one.diameter_um: screwed(3_000, 100_000, screws=(one,)) for one in SCREWS}
    pilots = {shank: found.pilot_um for shank, found in drills.items()}
    assert pilots == {3_000: 1_500, 3_500: 2_000, 4_000: 2_000, 4_500: 2_500, 5_000: 2_500}
    assert all(found.clearance_um >= shank for shank, found in drills.items())
    assert nailed(19_000, 200_000).pilot_um == 0


def test_nails_have_two_thirds_of_their_length_in_the_holding_piece() -> None:
    found = nailed(19_000, 200_000)
    assert 3 * (found.fastener.length_um - 19_000) >= 2 * found.fastener.length_um
    assert found.spacing_um <= NAIL_SPACING_UM


def test_clinched_nails_stand_out_enough_to_be_bent() -> None:
    assert clinched(38_000).fastener.length_um - 38_000 >= 5_000


def test_a_piece_too_thick_for_every_screw_is_refused_with_its_thickness() -> None:
    with pytest.raises(BadInput, match=rf"38 mm of wood .* none of the {len(SCREWS)} kinds"):
        screwed(38_000, 200_000)


def test_a_piece_too_thick_for_every_nail_is_refused() -> None:
    with pytest.raises(BadInput, match=rf"three times 38 mm long .* none of the {len(NAILS)} kinds"):
        nailed(38_000, 200_000)


def test_wood_too_thick_to_clinch_through_is_refused() -> None:
    with pytest.raises(BadInput, match="stand out of 90 mm of wood"):
        clinched(90_000)
