"""The box in a plan: flat pieces to cut, hardware, steps to put it together, and what was judged of it."""

import msgspec

from packing.messages import Message
from packing.plan.judged import CostPlan, GradePlan, TreatmentPlan
from packing.plan.kinds import (
    ContainerKind,
    FactKind,
    FoldName,
    Packaging,
    Shell,
    TapePattern,
    TreatmentVerdict,
)
from packing.plan.piece import BlankPlan, BoardPlan, HardwarePlan, PartPlan, PiecePlan
from packing.plan.rows import Row, Size


class PanelPlan(Row, frozen=True):
    """A panel or a board in its place: an upright box, its origin at the inside's lower corner.

    Parameters
    ----------
    name, min_um, max_um
        Which; its corners.
    piece
        Id of the piece that it is; "" for a panel of a blank.
    flutes
        Axis along which the flutes of a panel run, 0, 1 or 2; None for wood and in plans made before this was told.
    """

    name: str
    min_um: Size
    max_um: Size
    piece: str = ""
    flutes: int | None = None


class StepPlan(Row, frozen=True):
    """One step of folding or assembling: what to do, what stands there after it, which of that is new, of which box."""

    text: Message
    plates: tuple[PanelPlan, ...] = ()
    new: tuple[str, ...] = ()
    shell: Shell = Shell.BOX


class TapePlan(Row, frozen=True):
    """One strip of tape on the closed box: its middle line over the faces, the lower corner outside at the origin."""

    points_um: tuple[Size, ...]


class ClosingPlan(Row, frozen=True):
    """The closing of the box: a sentence, the pattern of the tape, its length in all, each strip of it."""

    text: Message
    pattern: TapePattern
    tape_um: int
    strips: tuple[TapePlan, ...] = ()


class FoldPlan(Row, frozen=True):
    """A part of the box that folds, and the ids of the pieces it folds from."""

    name: FoldName
    flats: tuple[str, ...]


class CasePlan(Row, frozen=True):
    """The slotted case outside a wooden box: its inside, its flaps and what it weighs empty."""

    inner_um: Size
    flap_gap_um: int
    flap_layers: int
    weight_mg: int


class FactPlan(Row, frozen=True, omit_defaults=True):
    """A rule a maker wants to know, where it comes from, of which year, how sure that is, and what it is about."""

    text: Message
    source: str
    sureness: str
    year: str = ""
    kind: FactKind | None = None


class BoxPlan(Row, frozen=True):
    """The box round the insert.

    Parameters
    ----------
    style, name
        Its code, or our own plain word where the standard has none; its name.
    family, packaging
        What it is made from; what a carrier sees.
    inner_um, outer_um, most_um, fit_um
        Inside; outside when closed; outside in stock as thick as its tolerance allows; room between insert and box.
    weight_mg, fill_mg
        Empty; foam that fills what the insert leaves of a stock carton.
    board, blank
        None for wood; None where there is not just one blank in one piece.
    parts, pieces, hardware
        The list for people; every piece to cut ("flats" in the file); screws and nails.
    steps, closing, folds
        How it is put together, closed and folded.
    flap_gap_um, flap_layers
        Between the inner flaps, 0 where there are none or they meet; layers of flaps at bottom and lid, 0 where the box
        is no slotted case.
    case
        The slotted case outside a wooden box.
    notes, facts
        Sentences for whoever makes or fills it; rules with their sources.
    grade, treatment, cost
        Of a box chosen among offers: checks of its board, of its wood, and what it costs.
    """

    style: str
    name: Message
    family: ContainerKind
    packaging: Packaging
    inner_um: Size
    outer_um: Size
    most_um: Size
    weight_mg: int
    fill_mg: int
    fit_um: Size
    board: BoardPlan | None
    blank: BlankPlan | None
    parts: tuple[PartPlan, ...]
    pieces: tuple[PiecePlan, ...] = msgspec.field(name="flats")
    hardware: tuple[HardwarePlan, ...]
    steps: tuple[StepPlan, ...]
    closing: ClosingPlan
    folds: tuple[FoldPlan, ...]
    flap_gap_um: int
    notes: tuple[Message, ...] = ()
    facts: tuple[FactPlan, ...] = ()
    grade: GradePlan | None = None
    treatment: TreatmentPlan | None = None
    cost: CostPlan | None = None
    flap_layers: int = 0
    case: CasePlan | None = None

    @property
    def slotted(self) -> bool:
        """True where bottom and lid are flaps."""
        return self.flap_layers > 0

    @property
    def wood_abroad(self) -> Message | None:
        """Demands of the rules for wood on its way abroad; None where they ask nothing."""
        if self.treatment is None or self.treatment.verdict not in (
            TreatmentVerdict.EXEMPT,
            TreatmentVerdict.MARK_NEEDED,
        ):
            return None
        return self.treatment.sentence

    @property
    def wood_marked(self) -> bool:
        """True where its wood must be treated and bear the mark."""
        return self.treatment is not None and self.treatment.verdict is TreatmentVerdict.MARK_NEEDED
