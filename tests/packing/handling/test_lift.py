"""A lift as it is typed: what cannot be is refused by name."""

from dataclasses import replace

import pytest

from packing.handling import ONE_PERSON, Lift, lift_limit, read_lift
from packing.measure import RULES, BadInput

LIFT = Lift(300_000, 750_000, 300_000)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        (replace(LIFT, away_um=-1), "away"),
        (replace(LIFT, height_um=3_000_001), "height"),
        (replace(LIFT, travel_um=9_000_000), "travel"),
        (replace(LIFT, twist_deg=181), "twist"),
        (replace(LIFT, per_minute=-0.1), "per_minute"),
        (replace(LIFT, per_minute=float("nan")), "per_minute"),
        (replace(LIFT, hours=8.1), "hours"),
    ],
)
def test_what_cannot_be_is_refused_by_name(changed: Lift, field: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_lift(changed)
    assert refused.value.field == field
    assert "is from 0 to" in refused.value.message


def test_what_can_be_is_read() -> None:
    assert read_lift(LIFT) is LIFT


def test_a_lift_nobody_should_do_has_no_index() -> None:
    limit = lift_limit(replace(LIFT, away_um=700_000))
    assert (limit.limit_mg, limit.index(1_000)) == (0, None)


def test_the_settings_speak_of_the_weight_that_papers_and_screens_go_by() -> None:
    """Derived: one rule for what one person lifts."""
    rule = RULES["max_gross_g"]
    assert f"such as {ONE_PERSON.most_mg // 1_000_000} kg" in rule.help
