"""Weigh-ins of simulated parcels, a few of those that the benchmark measures."""

from tests.bench import weigh_in


def test_few_good_parcels_are_stopped_and_nearly_all_wrong_ones_caught() -> None:
    counts = weigh_in.counted(4, 50)
    assert counts.good == 200
    assert weigh_in.failures(counts) == []
    assert "good, stopped" in weigh_in.report(counts)


def test_each_figure_that_is_missed_is_told() -> None:
    bad = weigh_in.Counts(good=100, good_stopped=2, missing=100, missing_caught=98, swaps=100, swaps_caught=94)
    assert len(weigh_in.failures(bad)) == 3
    good = weigh_in.Counts(good=100, good_stopped=1, missing=100, missing_caught=99, swaps=100, swaps_caught=95)
    assert weigh_in.failures(good) == []
