"""The usual cautions, in our own words.

They follow the sense of the standards' warnings for striking tools (ASME B107, DIN); for lifting, the guidance of a
national safety office; for opening, oil, rust, cutting and lasers, common practice, no source. None of them stands in
for local codes or licensed practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.adapter import ONE_PERSON, is_heavy
from shop.adapter.plan_parts import Form
from shop.papers.measures import PlanWording

STRIKERS = frozenset({Form.HAMMER, Form.MALLET})


@dataclass(frozen=True, slots=True)
class Caution:
    """A heading and its sentences."""

    title: str
    lines: tuple[str, ...]


def for_opening(gross_mg: int, write: PlanWording, *, tools: bool, sharp: Sequence[str], taped: bool) -> Caution:
    """Advice on opening the box.

    `tools` says whether any are in it, `sharp` holds the letters of those with an edge; a box that is not `taped` is
    screwed shut.
    """
    lines = [
        _(
            "The box weighs %(weight)s. Hold it close, bend back, hips and knees moderately, do not twist, and set it "
            "flat on a table."
        )
        % {"weight": write.both(gross_mg)},
        _("Cut the tape only: a knife pushed deep finds a handle or a guard.")
        if taped
        else _("Undo the screws of the lid, do not prise it up: it lies on the insert."),
    ]
    if tools:
        lines.append(_("Lift each tool by its notch or tape, one hand under the head, in the order shown."))
    if is_heavy(gross_mg):
        lines.insert(1, lifting_limit())
    if sharp:
        lines.append(
            _(
                "Sharp: %(letters)s. Leave the guard on until the tool lies on the bench, hold it by the handle and "
                "keep fingers off the edge."
            )
            % {"letters": ", ".join(sharp)}
        )
    return Caution(_("Opening the box"), tuple(lines))


def lifting_limit() -> str:
    """Above which weight a box is not for one person, and where that was read."""
    return _(
        "Above %(weight)s take it as a load for two people, or use a trolley (HSE guidance INDG143, %(year)s, read on "
        "other pages; no legal limit)."
    ) % {"weight": ONE_PERSON.words, "year": ONE_PERSON.year}


def outside_mark(gross_mg: int, both: str) -> str:
    """The words for the outside of a heavy box, so that nobody lifts it alone unawares; "" where it is not heavy.

    `both` is its gross weight in kilograms and pounds, as it is to be read by strangers.
    """
    if not is_heavy(gross_mg):
        return ""
    return _("Heavy: write “%(gross)s, two people” on the lid and on two sides.") % {"gross": both}


def for_striking(forms: frozenset[Form | None]) -> Caution:
    """Advice on using the contents of the box: hammers and mallets, axes and adzes."""
    lines = [
        _("Wear eye protection, and see that whoever stands near wears it too."),
        _("Never strike hardened steel on hardened steel: no hammer against a hammer, a file or an axe's poll."),
    ]
    if forms & STRIKERS:
        lines += [
            _("Strike squarely with the middle of the face. No glancing blows, none with the rim or the cheek."),
            _("The face should be at least 10 mm (3/8 in) wider than the tool it strikes."),
        ]
    if forms - STRIKERS:
        lines.append(_("Cut wood only, clear of nails and stones, with nobody in the line of the swing."))
    return Caution(_("Using the tools"), tuple(lines))


def for_keeping() -> Caution:
    """Advice on keeping the tools."""
    lines = [
        _("Look at head and handle before use. Stop using a head that is chipped, cracked, mushroomed or loose."),
        _("Do not heat, weld or regrind a head: that takes its temper."),
        _("Wipe the film off before use, put a thin one back after. No bare steel on board, felt, oak or fresh ply."),
        _("Keep handles from heat and from wet: a dry handle shrinks in its eye, and the head works loose."),
        _(
            "Oily cloths can catch fire by themselves. Spread them flat outdoors to dry, or keep them under water in a "
            "lidded metal can."
        ),
    ]
    return Caution(_("Keeping them sound"), tuple(lines))


def for_cutting(*, foam: bool = False, board: bool = False, wood: bool = False, laser: bool = False) -> Caution:
    """Cautions for cutting what a paper is about: foam, board by knife, wood by saw and router, all by laser."""
    lines = []
    if foam or board:
        lines += [
            _("A sharp knife and shallow passes: guide it along the straightedge, away from the hand that holds it."),
            _("Cut-resistant glove on the holding hand. Eye protection at every powered blade; no gloves near one."),
        ]
    if foam:
        lines += [
            _("Hot wire gives off fumes: out of doors or under extraction, never on foam you do not know."),
            _("Foam and board dust: extraction or a mask, no sparks near it. Foam burns fast."),
        ]
    if wood:
        lines += [
            _("Guard and riving knife on the saw, push stick for narrow pieces, hands never in line with the blade."),
            _("Groove in shallow passes against a fence, the piece held down. Hearing protection at saw and router."),
            _("Eye protection at every powered blade and drill."),
            _("Wood dust harms the lungs and burns: extraction and a mask."),
            _("Eye protection whenever nails or screws are driven: they fly, snap and come out where they should not."),
        ]
    if laser:
        lines.append(for_laser())
    if foam:
        lines.append(_("Local codes, makers' own data for foam, blade and wire and licensed practice come first."))
    else:
        lines.append(_("Local codes, makers' own data for machine, blade and glue and licensed practice come first."))
    return Caution(_("Cautions"), tuple(lines))


def for_assembling() -> Caution:
    """Cautions for putting an insert together: punches and drills, glue, what steel may lie on."""
    lines = [
        _("Punch on a soft block; drill with the sheet held down, sleeves and hair tied back, no gloves near the bit."),
        _("Router only with the sheet held down all round, in shallow passes, eye and ear protection on."),
        _(
            "Glue must be of a kind that does not stain or eat steel, and must have cured, smell and all, before a "
            "tool lies near it; air the room."
        ),
        _("No bare steel on board, felt, plywood or fresh glue: oil or wax film, and paper or film between."),
    ]
    return Caution(_("Putting it together"), tuple(lines))


def for_trying(height_um: int | None, write: PlanWording) -> Caution:
    """The way to try a box; the height is what parcels of its weight are tested from, None beyond the table."""
    fall = (
        _("Try it as a parcel of this weight is tested, from %(height)s (ISTA 1A, read on other pages).")
        % {"height": write.length(height_um)}
        if height_um is not None
        else _("No height is known here for a box of this weight: ask the carrier or a test house.")
    )
    lines = [
        _("A computed drop is no test. Makers’ data, the carrier’s own rules and local rules decide."),
        _("Put scrap steel of the same weight and about the same shape into every pocket, never the tools themselves."),
        _("Close the box as it will be sent and weigh it: it must weigh what is planned."),
        fall,
        _("On one corner, its three edges and all six sides, onto a flat hard floor; feet clear, nobody in the way."),
        _("Open it: no pocket is torn, no steel has come through, no side is dented. Else change the insert."),
    ]
    return Caution(_("Trying a box before it is relied on"), tuple(lines))


def for_laser() -> str:
    """Cautions for cutting with a laser, in a few sentences."""
    return _(
        "Laser: never leave it running alone. Extraction on, an extinguisher at hand: foam, board and wood catch fire. "
        "Never cut PVC or a foam you do not know: the fumes poison people and eat the machine. Local codes and the "
        "maker's data come first."
    )


def closing_words() -> str:
    """The limits of these lines: what they do not replace."""
    return _(
        "These lines are the usual cautions. Local codes, your workplace's rules and licensed practice come first."
    )
