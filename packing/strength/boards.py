"""Boards in stock, and the lightest of them that passes every chosen rule."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from packing.materials import Board, board_content
from packing.measure import BadInput, grams
from packing.strength.checks import Graded, check_content, grade
from packing.strength.load import Load

_SAYS = {"fails": "fails", "not known": "is not known to pass", "not judged": "is not judged by"}


@dataclass(frozen=True, slots=True)
class BoardChoice:
    """The lightest board that passes, and every board tried before it.

    Parameters
    ----------
    board
        None where all are too weak.
    tried
        Light to heavy, up to the chosen one.
    reason
        A sentence: why this one, or what the strongest fails by.
    unjudged
        No rule judges how it carries a pile, and what was computed all the same is short of the load.
    """

    board: Board | None
    tried: tuple[Graded, ...]
    reason: str
    unjudged: bool = False


def _only_unjudged(one: Graded) -> bool:
    """Whether a rule that does not judge is all that stands against a board, and some other rule passes it."""
    against = [check for check in one.checks if not check.allows]
    passed = any(check.verdict == "passes" for check in one.checks)
    return passed and all(check.verdict == "not judged" for check in against)


def choose_board(
    stock: Sequence[Board], load_of: Callable[[Board], Load], rules: Sequence[str] | None = None
) -> BoardChoice:
    """The lightest grade in stock that no chosen rule speaks against.

    Where a rule does not judge the box and what was computed is short of the load for every board, the other rules
    decide: of the boards that pass them, the one computed to be strongest is taken, and the choice says so.

    Parameters
    ----------
    stock
        What there is.
    load_of
        The load a box of that board has to stand: its own weight and outside depend on the board.
    rules
        Names from `packing.strength.RULES`; None for all.

    Returns
    -------
    BoardChoice

    Raises
    ------
    BadInput
        There is no board in stock, or an unknown rule.
    """
    if not stock:
        raise BadInput("boards", "must have at least one board in stock; there is none.")
    tried: list[Graded] = []
    for board in sorted(stock, key=lambda one: (one.grammage_mg_m2, one.name)):
        tried.append(grade(board, load_of(board), rules))
        if tried[-1].allowed:
            weight = f"{grams(board.grammage_mg_m2)} g/m²"
            reason = f"{board.name} ({weight}) is the lightest that no rule speaks against."
            return BoardChoice(board, tuple(tried), reason)
    left = [one for one in tried if _only_unjudged(one)]
    if left:
        best = max(left, key=lambda one: (one.board.ect_lb_in * one.board.caliper_um**0.5, one.board.name))
        told = " ".join(check.sentence for check in best.checks if not check.allows)
        return BoardChoice(best.board, tuple(tried), f"{best.board.name}: put nothing on top. {told}", unjudged=True)
    nearest = min(tried, key=lambda one: sum(not check.allows for check in one.checks))
    failed = next(check for check in nearest.checks if not check.allows)
    return BoardChoice(
        None,
        tuple(tried),
        f"No board in stock passes every rule; {nearest.board.name} {_SAYS[failed.verdict]} {failed.rule}: "
        f"{failed.sentence}",
    )


def choice_content(choice: BoardChoice) -> dict[str, Any]:
    """A choice of board as plain JSON."""
    return {
        "board": None if choice.board is None else board_content(choice.board),
        "reason": choice.reason,
        "tried": [
            {
                "board": one.board.name,
                "grade": one.board.grade,
                "allowed": one.allowed,
                "checks": [check_content(check) for check in one.checks],
            }
            for one in choice.tried
        ],
    }
