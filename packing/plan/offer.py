"""A box offered beside others, with its whole plan."""

from packing.messages import Message
from packing.plan.kinds import Purpose
from packing.plan.model import Plan
from packing.plan.rows import Row


class OfferPlan(Row, frozen=True):
    """A box offered for what it is best at.

    Parameters
    ----------
    plan
        What is stored where it is chosen.
    purposes
        What it is best at; none for a box that is among the offers because it is taken.
    beside
        The alternative side by side: a wooden box bare and in an outer case; None where there is none.
    taken
        Whether this is the box of the order's plan.
    """

    plan: Plan
    purposes: tuple[Purpose, ...] = ()
    beside: Message | None = None
    taken: bool = False
