"""When wood that goes abroad must be treated and marked: the scope of ISPM 15, in its sense."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from packing.measure import mm

THIN_UM = 6_000
SOURCE = "ISPM 15, 2009 with the 2018 text, section 2.1 (scope and exemptions)"
CHECK = "Check what the country of arrival asks for."


@dataclass(frozen=True, slots=True)
class WoodPart:
    """One wooden part of a parcel: its name, its thickness, and whether it is processed wood."""

    name: str
    thickness_um: int
    processed: bool


@dataclass(frozen=True, slots=True)
class WoodVerdict:
    """Whether a parcel's wood needs treatment and mark.

    Parameters
    ----------
    verdict
        "no wood", "not abroad", "exempt" or "mark needed".
    sentence
        Why, for the packer.
    parts
        Names of the parts that make it so.
    source, sureness, year
        Of the rule.
    """

    verdict: str
    sentence: str
    parts: tuple[str, ...]
    source: str = SOURCE
    sureness: str = "primary"
    year: str = "2018"

    @property
    def needs_mark(self) -> bool:
        """Whether treated and marked wood is needed."""
        return self.verdict == "mark needed"


def wood_verdict(parts: Sequence[WoodPart], *, abroad: bool) -> WoodVerdict:
    """Whether the wood of a box, its bearers, cleats and plates needs treatment and mark.

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
    """
    if not parts:
        return WoodVerdict("no wood", "There is no wood in the packaging.", ())
    if not abroad:
        return WoodVerdict("not abroad", "The parcel stays in the country: ISPM 15 does not ask for anything.", ())
    raw = [part for part in parts if not part.processed and part.thickness_um > THIN_UM]
    if not raw:
        why = (
            "all wood is processed (plywood and the like)"
            if all(part.processed for part in parts)
            else "no raw wood is thicker than 6 mm"
        )
        return WoodVerdict("exempt", f"Exempt from treatment and mark by ISPM 15, section 2.1: {why}. {CHECK}", ())
    names = tuple(dict.fromkeys(part.name for part in raw))
    listed = ", ".join(f"{part.name} {mm(part.thickness_um)} mm" for part in {part.name: part for part in raw}.values())
    mixed = " Plywood beside it does not free it: the unit counts as one, the mark may sit on the plywood."
    return WoodVerdict(
        "mark needed",
        f"Treated and marked wood is needed by ISPM 15: raw wood thicker than 6 mm ({listed})."
        f"{mixed if any(part.processed for part in parts) else ''} {CHECK}",
        names,
    )


def verdict_content(verdict: WoodVerdict) -> dict[str, Any]:
    """A verdict as plain JSON."""
    return {
        "verdict": verdict.verdict,
        "sentence": verdict.sentence,
        "parts": list(verdict.parts),
        "source": verdict.source,
        "year": verdict.year,
        "sureness": verdict.sureness,
    }
