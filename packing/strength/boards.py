"""Boards in stock, and the lightest of them that passes every chosen rule."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packing.materials import Board, board_plan
from packing.measure import BadInput, grams
from packing.plan import CheckPlan, Figure, GradedPlan, GradePlan, MarkPlan, Message, Series
from packing.plan.kinds import Verdict
from packing.strength.check import Check
from packing.strength.checks import Graded, grade
from packing.strength.load import Load

_NONE_PASSES = {
    Verdict.FAILS: "No board in stock passes every rule; {board} fails {rule}: {sentence}",
    Verdict.NOT_KNOWN: "No board in stock passes every rule; {board} is not known to pass {rule}: {sentence}",
    Verdict.NOT_JUDGED: "No board in stock passes every rule; {board} is not judged by {rule}: {sentence}",
}


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
    reason: Message
    unjudged: bool = False


def _only_unjudged(one: Graded) -> bool:
    """Tell whether a rule that does not judge is all that stands against a board, and some other rule passes it."""
    against = [check for check in one.checks if not check.allows]
    passed = any(check.verdict is Verdict.PASSES for check in one.checks)
    return passed and all(check.verdict is Verdict.NOT_JUDGED for check in against)


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
    # Lightest first: the first that passes is the answer, and what is lighter has been shown to fail.
    for board in sorted(stock, key=lambda one: (one.grammage_mg_m2, one.name)):
        tried.append(grade(board, load_of(board), rules))
        if tried[-1].allowed:
            reason = Message(
                "{board} ({grammage}) is the lightest that no rule speaks against.",
                board=board.name,
                grammage=Figure(str(grams(board.grammage_mg_m2)), "g/m²"),
            )
            return BoardChoice(board, tuple(tried), reason)
    left = [one for one in tried if _only_unjudged(one)]
    if left:
        # By McKee’s formula strength grows with edge crush and the root of the caliper; the box is the same for all.
        best = max(left, key=lambda one: (one.board.ect_lb_in * one.board.caliper_um**0.5, one.board.name))
        told = Series(tuple(check.sentence for check in best.checks if not check.allows), " ")
        reason = Message("{board}: put nothing on top. {told}", board=best.board.name, told=told)
        return BoardChoice(best.board, tuple(tried), reason, unjudged=True)
    # The board that breaks the fewest rules tells most about what is missing.
    nearest = min(tried, key=lambda one: sum(not check.allows for check in one.checks))
    failed = next(check for check in nearest.checks if not check.allows)
    reason = Message(
        _NONE_PASSES[failed.verdict], board=nearest.board.name, rule=Message(failed.rule), sentence=failed.sentence
    )
    return BoardChoice(None, tuple(tried), reason)


def grade_plan(choice: BoardChoice) -> GradePlan:
    """Turn a choice of board into a part of the plan.

    Parameters
    ----------
    choice
        As `choose_board` gives it.

    Returns
    -------
    GradePlan
        Every board tried, with every check.
    """
    return GradePlan(
        board=None if choice.board is None else board_plan(choice.board),
        reason=choice.reason,
        tried=tuple(
            GradedPlan(one.board.name, one.board.grade, one.allowed, tuple(check_plan(check) for check in one.checks))
            for one in choice.tried
        ),
    )


def check_plan(check: Check) -> CheckPlan:
    """Turn a check into a part of the plan."""
    return CheckPlan(
        rule=check.rule,
        verdict=check.verdict,
        sentence=check.sentence,
        inputs=check.inputs,
        result=check.result,
        limit=check.limit,
        source=check.source.name,
        year=check.source.year,
        sureness=check.source.sureness.value,
        marks=tuple(MarkPlan(one.name, one.year, one.sureness.value) for one in check.marks),
    )
