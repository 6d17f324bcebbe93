"""Problems, as the checker says them."""

from dataclasses import dataclass

from packing.measure import mm


@dataclass(frozen=True, slots=True)
class Problem:
    """One broken rule of a plan.

    Parameters
    ----------
    rule
        Short name of the rule, one of `packing.check.RULES`.
    where
        Id of the item or sheet, "layer 0", or the part of the content that is concerned.
    message
        A sentence with the values.
    by_mm
        How far the rule is missed, where that is a length.
    """

    rule: str
    where: str
    message: str
    by_mm: float | None = None

    def __str__(self) -> str:
        return f"{self.rule}, {self.where}: {self.message}"


def missed(rule: str, where: str, message: str, by_um: int) -> Problem:
    """A problem with the length by which the rule is missed."""
    return Problem(rule, where, message, mm(abs(by_um)))


def shown(um: int) -> str:
    """Micrometres as the millimetres a sentence shows."""
    return f"{mm(um)} mm"


def apart(gap_um: int) -> str:
    """The distance of two things, or by how much they overlap, for a sentence."""
    return f"are {shown(gap_um)} apart" if gap_um >= 0 else f"overlap by {shown(-gap_um)}"
