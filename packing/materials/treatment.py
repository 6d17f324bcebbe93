"""Treatment and mark of wood that goes abroad: the scope of ISPM 15, in its sense."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.plan import Length, Message, Series, TreatmentPlan
from packing.plan.kinds import TreatmentVerdict
from packing.sureness import Sureness

THIN_UM = 6_000
"""Raw wood up to this thickness is exempt."""
SOURCE = "ISPM 15, 2009 with the 2018 text, section 2.1 (scope and exemptions)"

_ALL_PROCESSED = (
    "Exempt from treatment and mark by ISPM 15 (text of 2018), section 2.1: all wood is processed (plywood and "
    "the like). Check what the country of arrival asks for."
)
_ALL_THIN = (
    "Exempt from treatment and mark by ISPM 15 (text of 2018), section 2.1: no raw wood is thicker than {thin}. "
    "Check what the country of arrival asks for."
)
_MARK_NEEDED = (
    "Treated and marked wood is needed by ISPM 15 (text of 2018): raw wood thicker than {thin} ({parts}). Check "
    "what the country of arrival asks for."
)
_MIXED = (
    "Treated and marked wood is needed by ISPM 15 (text of 2018): raw wood thicker than {thin} ({parts}). Plywood "
    "beside it does not free it: the unit counts as one, the mark may sit on the plywood. Check what "
    "the country of arrival asks for."
)


@dataclass(frozen=True, slots=True)
class WoodPart:
    """One wooden part of a parcel: its name, its thickness, and whether it is processed wood."""

    name: str
    thickness_um: int
    processed: bool


@dataclass(frozen=True, slots=True)
class WoodVerdict:
    """The verdict on a parcel's wood: treatment and mark needed, or not.

    Parameters
    ----------
    verdict
        What the rule asks for.
    sentence
        Why, for the packer.
    parts
        Names of the parts that make it so.
    source, sureness, year
        Of the rule.
    """

    verdict: TreatmentVerdict
    sentence: Message
    parts: tuple[str, ...]
    source: str = SOURCE
    sureness: Sureness = Sureness.PRIMARY
    year: str = "2018"


def wood_verdict(parts: Sequence[WoodPart], *, abroad: bool) -> WoodVerdict:
    """Judge whether the wood of a box, its bearers, cleats and plates needs treatment and mark.

    Parameters
    ----------
    parts
        Every wooden part in and on the parcel; the goods themselves, a hammer's handle, are not packaging.
    abroad
        Whether it crosses a border.

    Returns
    -------
    WoodVerdict

    Notes
    -----
    Exempt are packages entirely of wood 6 mm thick or less, and packages wholly of processed wood. One raw part
    thicker than 6 mm beside processed ones makes the whole a regulated unit. Mixed raw wood of 6 mm or less and
    processed wood is read here as exempt, each part being so by itself.

    References
    ----------
    ISPM 15, "Regulation of wood packaging material in international trade", 2009 with the text of 2018, section 2.1.
    """
    if not parts:
        return WoodVerdict(TreatmentVerdict.NO_WOOD, Message("There is no wood in the packaging."), ())
    if not abroad:
        sentence = Message("The parcel stays in the country: ISPM 15 (text of 2018) does not ask for anything.")
        return WoodVerdict(TreatmentVerdict.NOT_ABROAD, sentence, ())
    raw = [part for part in parts if not part.processed and part.thickness_um > THIN_UM]
    if not raw:
        processed = all(part.processed for part in parts)
        sentence = Message(_ALL_PROCESSED) if processed else Message(_ALL_THIN, thin=Length(THIN_UM))
        return WoodVerdict(TreatmentVerdict.EXEMPT, sentence, ())
    named = {part.name: part for part in raw}
    listed = Series(
        tuple(
            Message("{part} {thickness}", part=Message(part.name), thickness=Length(part.thickness_um))
            for part in named.values()
        )
    )
    template = _MIXED if any(part.processed for part in parts) else _MARK_NEEDED
    sentence = Message(template, thin=Length(THIN_UM), parts=listed)
    return WoodVerdict(TreatmentVerdict.MARK_NEEDED, sentence, tuple(named))


def treatment_plan(verdict: WoodVerdict) -> TreatmentPlan:
    """Turn a verdict on wood into a part of the plan.

    Parameters
    ----------
    verdict
        As `wood_verdict` gives it.

    Returns
    -------
    TreatmentPlan
    """
    return TreatmentPlan(
        verdict.verdict, verdict.sentence, verdict.parts, verdict.source, verdict.sureness.value, verdict.year
    )
