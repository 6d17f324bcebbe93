"""Board grade by published rule: each check shows its inputs, result, limit, verdict, source, year and sureness."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from packing.materials import Board
from packing.measure import BadInput
from packing.strength.check import Check
from packing.strength.freight import freight_check
from packing.strength.kinds import RuleName
from packing.strength.load import Load
from packing.strength.postal import dense_grade_check, density_check, postal_check
from packing.strength.stacking_check import stacking_check

Rule = Callable[[Board, Load], Check]
RULES: tuple[tuple[RuleName, Rule], ...] = (
    (RuleName.POSTAL, postal_check),
    (RuleName.DENSE, dense_grade_check),
    (RuleName.DENSITY, density_check),
    (RuleName.FREIGHT, freight_check),
    (RuleName.STACKING, stacking_check),
)
"""Every rule by the name it is chosen with, in the order they are applied."""


@dataclass(frozen=True, slots=True)
class Graded:
    """A board held against the chosen rules."""

    board: Board
    checks: tuple[Check, ...] = field(default=())

    @property
    def allowed(self) -> bool:
        """True where every rule passes, or does not apply."""
        return all(check.allows for check in self.checks)


def grade(board: Board, load: Load, chosen: Sequence[str] | None = None) -> Graded:
    """Hold a board against rules.

    Parameters
    ----------
    board, load
        See there.
    chosen
        Names from `RULES`; None for all.

    Returns
    -------
    Graded

    Raises
    ------
    BadInput
        An unknown rule.
    """
    known: dict[str, Rule] = dict(RULES)
    for name in chosen or ():
        if name not in known:
            raise BadInput("rules", f"must be among {', '.join(known)}, not {name!r}.")
    wanted = known if chosen is None else {name: known[name] for name in known if name in chosen}
    return Graded(board, tuple(rule(board, load) for rule in wanted.values()))
