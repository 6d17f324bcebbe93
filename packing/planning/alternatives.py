"""Up to four boxes that differ on purpose: cheapest to send, least work, flattest, wooden."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from packing.boxes import Infeasible, all_styles, infeasible_content
from packing.insert import Insert, make_insert
from packing.materials import verdict_content
from packing.measure import BadInput, Order, mm
from packing.nest import Nesting
from packing.plan.kinds import ContainerKind
from packing.planning.candidate import Billing, Candidate, Terms, billed_content, candidate_for
from packing.planning.cost import cost_content
from packing.planning.plan import NestingCandidate, plan_content
from packing.strength import choice_content
from packing.units import grams_shown

CHEAPEST, LEAST_WORK, FLATTEST, WOODEN = "cheapest to send", "least work", "flattest", "wooden"


@dataclass(frozen=True)
class Offer:
    """A box offered for what it is best at.

    Parameters
    ----------
    purposes
        One or more of "cheapest to send", "least work", "flattest", "wooden".
    candidate
        The box.
    trade
        What it trades, in one sentence.
    beside
        The alternative side by side: a wooden box bare and in an outer case; "" where there is none.
    """

    purposes: tuple[str, ...]
    candidate: Candidate
    trade: str
    beside: str = ""


@dataclass(frozen=True)
class Offers:
    """What can be offered for an order.

    Parameters
    ----------
    offers
        One to four, the cheapest to send first; empty where no style can be made.
    refused
        Every style that cannot be made, with its reason, once for each nesting.
    candidates
        Everything that was compared.
    """

    offers: tuple[Offer, ...]
    refused: tuple[Infeasible, ...]
    candidates: tuple[Candidate, ...]

    @property
    def never_made(self) -> tuple[Infeasible, ...]:
        """The styles that no nesting is boxed in, each once with the reason that is nearest to not being one."""
        design = {one.design.style for one in self.candidates}
        nearest: dict[str, Infeasible] = {}
        for one in self.refused:
            if one.style not in design:
                known = nearest.setdefault(one.style, one)
                if one.value_um - one.limit_um < known.value_um - known.limit_um:
                    nearest[one.style] = one
        return tuple(nearest.values())


def _sending(one: Candidate) -> tuple[Any, ...]:
    billed = one.billed
    if billed is None:
        return 0, 0, 0, 0, 0, one.weights.gross_mg, one.cost.minutes
    thick = one.most_billed or billed
    safe = (len(thick.flags), thick.amount)
    return len(billed.over), len(billed.flags), billed.amount, *safe, one.weights.gross_mg, one.cost.minutes


def _working(one: Candidate) -> tuple[Any, ...]:
    return one.cost.minutes, *_sending(one)


def _flat(one: Candidate) -> tuple[Any, ...]:
    return min(one.design.outer_um), *_sending(one)


Key = Callable[[Candidate], tuple[Any, ...]]
_PURPOSES: tuple[tuple[str, Key, bool], ...] = (
    (CHEAPEST, _sending, False),
    (LEAST_WORK, _working, False),
    (FLATTEST, _flat, False),
    (WOODEN, _sending, True),
)


def _pick(candidates: Sequence[Candidate]) -> list[tuple[list[str], Candidate]]:
    picked: list[tuple[list[str], Candidate]] = []
    allowed = [one for one in candidates if one.billed is None or not one.billed.over]
    for purpose, key, wooden in _PURPOSES:
        ranked = [
            ((*key(one), one.design.style, one.which), index)
            for index, one in enumerate(allowed)
            if not wooden or one.design.family is ContainerKind.WOOD
        ]
        if not ranked:
            continue
        best = allowed[min(ranked)[1]]
        for purposes, known in picked:
            if known is best:
                purposes.append(purpose)
                break
        else:
            picked.append(([purpose], best))
    return picked


def _number(value: Fraction) -> str:
    return f"{float(value):g}"


def _more(value: int | float, unit: str, more: str, less: str) -> str:
    return f"{abs(value):g} {unit} {more if value > 0 else less}"


def _against(one: Candidate, first: Candidate) -> list[str]:
    """How a box differs from the cheapest to send, each in a few words."""
    words = []
    if one.billed is not None and first.billed is not None and one.billed.amount != first.billed.amount:
        by = one.billed.amount - first.billed.amount
        words.append(f"billed {_number(abs(by))} {one.billed.unit} {'more' if by > 0 else 'less'}")
    grams = round((one.weights.gross_mg - first.weights.gross_mg) / 1000)
    if grams:
        words.append(_more(grams, "g", "heavier", "lighter"))
    minutes = round(float(one.cost.minutes - first.cost.minutes))
    if minutes:
        words.append(_more(minutes, "minutes", "more work", "less work"))
    height = (min(one.design.outer_um) - min(first.design.outer_um)) / 1000
    if height:
        words.append(_more(round(height, 1), "mm", "thicker", "thinner"))
    if one.cost.total is not None and first.cost.total is not None:
        by_money = one.cost.total - first.cost.total
        if by_money:
            words.append(f"{abs(by_money):.2f} {one.cost.currency} {'dearer' if by_money > 0 else 'cheaper'} to make")
    return words


_SAYS = {
    LEAST_WORK: "The least work",
    FLATTEST: "The flattest",
    WOODEN: "A wooden box the customer can keep",
}


def _trade(purposes: Sequence[str], one: Candidate, first: Candidate) -> str:
    flags = one.billed.flags if one.billed is not None else ()
    if one is first:
        billed = "" if one.billed is None else f": billed {_number(one.billed.amount)} {one.billed.unit}"
        also = "".join(f", and {_SAYS[purpose].lower()}" for purpose in purposes if purpose != CHEAPEST)
        sentence = f"The cheapest to send{billed}, {float(one.cost.minutes):.0f} minutes of work{also}"
    else:
        says = " and ".join(
            _SAYS[purpose] if index == 0 else _SAYS[purpose].lower() for index, purpose in enumerate(purposes)
        )
        against = _against(one, first)
        sentence = f"{says}: {', '.join(against)} than the cheapest to send" if against else f"{says}"
    extra = []
    if flags and (one is first or first.billed is None or flags != first.billed.flags):
        extra.append("; ".join(flag.rstrip(".") for flag in flags))
    if one.wood.needs_mark:
        extra.append("needs treated and marked wood")
    return "; ".join((sentence, *extra)) + "."


def _beside(one: Candidate, candidates: Sequence[Candidate]) -> str:
    """The best wooden box of the other outside, and what it is billed."""
    if one.design.family is not ContainerKind.WOOD:
        return ""
    others = [
        other
        for other in candidates
        if other.design.family is ContainerKind.WOOD and other.design.packaging != one.design.packaging
    ]
    if not others:
        return ""
    other = min(others, key=lambda each: (*_sending(each), each.design.style, each.which))
    billed = other.billed
    words = f"{float(other.weights.gross_mg) / 10**6:.2f} kg gross"
    if billed is not None:
        words += f", billed {_number(billed.amount)} {billed.unit}"
        words += "".join(f"; {sentence.rstrip('.')}" for sentence in (*billed.flags, *billed.over))
    return f"Instead as {other.design.name}: {words}."


def make_offers(
    order: Order, nestings: Sequence[Nesting], *, terms: Terms | None = None, billing: Billing | None = None
) -> Offers:
    """Up to four boxes that differ on purpose, from one nesting or several.

    Parameters
    ----------
    order
        As it was nested.
    nestings
        Planned nestings of it, one or more.
    terms
        Stock, rules and rates; the library's own where not given.
    billing
        A function of outside, gross weight and packaging, such as `billing_by(service)`; without one the lightest box
        counts as the cheapest to send.

    Returns
    -------
    Offers
        A box that is best at two things is offered once, with both purposes.

    Raises
    ------
    BadInput
        There is no nesting, one is not planned, or an interior is smaller than a piece.
    """
    if not nestings:
        raise BadInput("nestings", "must be at least one; there is none.")
    terms = terms or Terms()
    candidates: list[Candidate] = []
    refused: list[Infeasible] = []
    for which, nesting in enumerate(nestings):
        insert = make_insert(order, nesting, terms.materials.foam, tape=terms.materials.supplies.lift_tape)
        for style in all_styles():
            found = candidate_for(order, nesting, style, terms, billing, which=which, insert=insert)
            if isinstance(found, Infeasible):
                refused.append(found)
            else:
                candidates.append(found)
    picked = _pick(candidates)
    offers = tuple(
        Offer(tuple(purposes), one, _trade(purposes, one, picked[0][1]), _beside(one, candidates))
        for purposes, one in picked
    )
    return Offers(offers, tuple(refused), tuple(candidates))


def candidate_content(
    order: Order, one: Candidate, terms: Terms, *, beside: Sequence[Candidate] = ()
) -> dict[str, Any]:
    """The plan's content for a candidate: what is stored when it is chosen.

    Parameters
    ----------
    order, one, terms
        As they were offered.
    beside
        All that was compared: the second answer is the stock carton among them, where there is one.

    Returns
    -------
    dict
        As `plan_parcel` gives it; `box` is the chosen style's, `box["grade"]` and `box["treatment"]` show the checks of
        its board and of its wood, `box["cost"]` material and minutes.
    """
    whole = NestingCandidate(one.nesting, one.insert, one.design, one.weights)
    names = {
        other.design.cut_pieces[0].carton
        for other in (one, *beside)
        if other.which == one.which and other.design.family is ContainerKind.CARTON
    }
    cartons = tuple(carton for carton in terms.materials.cartons if not names or carton.name in names)
    content = plan_content(order, whole, replace(terms.materials, cartons=cartons))
    content["box"] |= {
        "grade": None if one.boards is None else choice_content(one.boards),
        "treatment": verdict_content(one.wood),
        "cost": cost_content(one.cost),
    }
    return content


def offers_content(order: Order, offers: Offers, terms: Terms | None = None) -> dict[str, Any]:
    """Offers as plain JSON: what a screen shows, and the whole plan of each.

    Parameters
    ----------
    order, offers, terms
        As handed to `make_offers` and as it gave them.

    Returns
    -------
    dict
        `offers[]` with purposes, trade, style, sizes, weights, billed, cost, treatment, plan; `refused[]`, the styles
        that cannot be made round any nesting.
    """
    terms = terms or Terms()
    return {
        "order": order.id,
        "offers": [_offer(order, offer, terms, offers.candidates) for offer in offers.offers],
        "refused": [infeasible_content(one) for one in offers.never_made],
    }


def _offer(order: Order, offer: Offer, terms: Terms, beside: Sequence[Candidate]) -> dict[str, Any]:
    one: Candidate = offer.candidate
    insert: Insert = one.insert
    return {
        "purposes": list(offer.purposes),
        "trade": offer.trade,
        "beside": offer.beside,
        "style": one.design.style,
        "name": one.design.name,
        "nesting": one.which,
        "interior_mm": [mm(v) for v in one.nesting.interior_um],
        "inner_mm": [mm(v) for v in one.design.inner_um],
        "outer_mm": [mm(v) for v in one.design.outer_um],
        "most_mm": [mm(v) for v in one.design.most_um],
        "packaging": one.design.packaging,
        "tare_g": grams_shown(one.weights.box_mg + insert.weight_mg),
        "gross_g": grams_shown(one.weights.gross_mg),
        "tolerance_g": grams_shown(one.weights.tolerance_mg),
        "billed": billed_content(one.billed),
        "cost": cost_content(one.cost),
        "treatment": verdict_content(one.wood),
        "plan": candidate_content(order, one, terms, beside=beside),
    }
