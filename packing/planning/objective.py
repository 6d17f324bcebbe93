"""Objectives of a box: one order of candidates, for the command line, the plan and the offers alike."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from packing.measure import Order
from packing.plan.kinds import Objective
from packing.planning.candidate import Candidate, marked_up

TIE_SHARE = Fraction(2, 100)
"""Boxes whose money, or without money whose billed weight, differs by no more are as good: less work decides."""

UNBILLED_TIE_SHARE = Fraction(5, 100)
"""The same where nobody says what weight costs (our own judgement: carriers' steps are half a kilogram or a pound)."""

SAME_MINUTES = 1
"""Minutes of work that nobody notices."""

MINUTES_PER_PERCENT = 4
"""Minutes that a hundredth of the volume must save where the least volume is wanted, thin stock is named and layers may
be higher than needed (our own judgement: over forty invented orders boxes then grow by what they lose because foam
gives)."""

SAME_HEIGHT_UM = 5_000
"""Heights that nobody notices."""

OBJECTIVES = tuple(one.value for one in Objective if one is not Objective.OFFER)
"""Objectives that can be asked for."""


@dataclass(frozen=True, slots=True, order=True)
class Score:
    """The score against a candidate, first things first: of two candidates the lesser score is the better box.

    Parameters
    ----------
    limits_passed
        Limits of the carrier that the box passes: such a box cannot be sent.
    aimed
        What was asked for, where that is not the price: the interior's volume, the work, or the outside height.
    surcharges
        Surcharges that the box meets; what they cost is not known.
    money
        What sending and making cost in the shop's currency, as a number, or in minutes where the shop says how many of
        them billed weight is worth; 0 where neither is known.
    billed
        Billed weight in the carrier's unit; without a carrier the gross weight in milligrams.
    surcharges_grown, billed_grown
        The same for the box in its thickest stock and grown as boxes do when they are filled.
    work
        Minutes for box and insert, sheets with pockets, length of pocket cuts in micrometres.
    marks_down
        Marked cheeks that lie down.
    gross_mg, volume_um3
        Gross weight and interior volume.
    """

    limits_passed: int
    aimed: tuple[Fraction, ...]
    surcharges: int
    money: Fraction
    billed: Fraction
    surcharges_grown: int
    billed_grown: Fraction
    work: tuple[Fraction, int, int]
    marks_down: int
    gross_mg: int
    volume_um3: int


def work_of(one: Candidate) -> tuple[Fraction, int, int]:
    """Minutes of work on box and insert, sheets with pockets, length of pocket cuts in micrometres."""
    return Fraction(one.cost.minutes), one.insert.pocketed_sheets, one.insert.cut_um


def height_um(one: Candidate) -> int:
    """The least side outside: what has to go through a slot or under a belt."""
    return min(one.design.outer_um)


def trades_volume(order: Order) -> bool:
    """Tell whether an order gives volume for less work: its layers may be higher than needed, thin stock is named."""
    return bool(order.rules.layer_spare_um) and order.rules.thin_um is not None


def _volume_um3(one: Candidate, order: Order) -> Fraction:
    """Interior volume; a hundredth more for each `MINUTES_PER_PERCENT` of the insert where an order trades them."""
    # A product, not a sum: it needs no other box to compare with, and is the same for every set of candidates.
    minutes = Fraction(one.cost.insert_minutes) if trades_volume(order) else Fraction(0)
    return one.nesting.volume_um3 * (1 + minutes / (100 * MINUTES_PER_PERCENT))


def _aimed(one: Candidate, order: Order, objective: Objective) -> tuple[Fraction, ...]:
    if objective is Objective.VOLUME:
        return (_volume_um3(one, order),)
    if objective is Objective.WORK:
        return tuple(Fraction(value) for value in work_of(one))
    if objective is Objective.FLAT:
        return (Fraction(height_um(one)),)
    return ()


def score(one: Candidate, order: Order, objective: Objective) -> Score:
    """Score a candidate under an objective.

    Parameters
    ----------
    one, order
        A candidate for the order.
    objective
        What the box is to be least in.

    Returns
    -------
    Score
        Without a billing no limit counts as passed, and the lightest box as the least billed.
    """
    billed, grown = one.billed, one.grown_billed
    placed = zip(order.items, one.nesting.placed, strict=True)
    return Score(
        limits_passed=_limits_passed(one),
        aimed=_aimed(one, order, objective),
        surcharges=0 if billed is None else len(billed.flags),
        money=one.money or Fraction(0),
        billed=Fraction(one.weights.gross_mg) if billed is None else billed.amount,
        surcharges_grown=0 if grown is None else len(grown.flags),
        billed_grown=Fraction(0) if grown is None else grown.amount,
        work=work_of(one),
        marks_down=sum(marked_up(item, where) is False for item, where in placed),
        gross_mg=one.weights.gross_mg,
        volume_um3=one.nesting.volume_um3,
    )


def tie_share(one: Candidate) -> Fraction:
    """By how much boxes may differ from a candidate in what they cost, are billed or else weigh, and be as good."""
    return UNBILLED_TIE_SHARE if one.money is None and one.billed is None else TIE_SHARE


def ranked(candidates: Sequence[Candidate], order: Order, objective: Objective) -> list[Candidate]:
    """Candidates, the best first.

    Parameters
    ----------
    candidates, order
        Candidates for the order.
    objective
        See `score`.

    Returns
    -------
    list of Candidate
        By score, money counting where it is known for all. For the price, those that cost, or without money are billed,
        no more above the first than `tie_share`, and pass no more limits and meet no more surcharges, are as good: of
        these the ones with the least work stand first, all within `SAME_MINUTES` of it by their score.
    """
    priced = all(one.money is not None for one in candidates)
    # Each score once: a comparison of two asks for all of it.
    scores = {id(one): score(one, order, objective) for one in candidates}
    if not priced:
        scores = {key: replace(one, money=Fraction(0)) for key, one in scores.items()}
    found = sorted(candidates, key=lambda one: (scores[id(one)], one.design.style, one.which))
    if objective is not Objective.PRICE or not found:
        return found
    first = scores[id(found[0])]

    def paid(own: Score) -> Fraction:
        return own.money if priced else own.billed

    def as_good(one: Candidate) -> bool:
        own = scores[id(one)]
        same = (own.limits_passed, own.surcharges) == (first.limits_passed, first.surcharges)
        return same and paid(own) <= paid(first) * (1 + tie_share(one))

    tied = [one for one in found if as_good(one)]
    least = min(work_of(one)[0] for one in tied) + SAME_MINUTES

    def after(one: Candidate) -> tuple[Fraction, Score]:
        # Estimates of work are no better than a few minutes: within them the score decides.
        minutes = work_of(one)[0]
        return minutes if minutes > least else Fraction(0), scores[id(one)]

    return sorted(tied, key=after) + [one for one in found if not as_good(one)]


def best(candidates: Sequence[Candidate], order: Order, objective: Objective) -> Candidate:
    """The candidate to take: for the command line, for the plan of an order, and for each of its offers.

    Parameters
    ----------
    candidates, order
        One candidate or more for the order, of one style or of several.
    objective
        What the box is to be least in.

    Returns
    -------
    Candidate
        Of those that pass the fewest limits and are least in what is wanted, or as near to it as makes no difference
        (`SAME_MINUTES` of work, `SAME_HEIGHT_UM` of height), the one that `ranked` puts first by the price.
    """
    fewest = min(_limits_passed(one) for one in candidates)
    fitting = [one for one in candidates if _limits_passed(one) == fewest]
    if objective is Objective.VOLUME:
        smallest = min(_volume_um3(one, order) for one in fitting)
        fitting = [one for one in fitting if _volume_um3(one, order) == smallest]
    elif objective is Objective.WORK:
        least = min(one.cost.minutes for one in fitting) + SAME_MINUTES
        fitting = [one for one in fitting if one.cost.minutes <= least]
    elif objective is Objective.FLAT:
        lowest = min(height_um(one) for one in fitting) + SAME_HEIGHT_UM
        fitting = [one for one in fitting if height_um(one) <= lowest]
    return ranked(fitting, order, Objective.PRICE)[0]


def _limits_passed(one: Candidate) -> int:
    return 0 if one.billed is None else len(one.billed.over)
