"""Measuring a piece: what was typed is read once, judged, and recorded exactly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import WEIGHTS, Units, Wording, measure_label
from shop.models import MEASURES, Mark, Pattern, Piece, PieceState, Product, Sharp
from shop.services.consignments import packed_with
from shop.services.errors import MeasuresRefused, MeasuresUnusual
from shop.services.likeness import beside_its_like, odd_fractions
from shop.services.pieces import hold

OPTIONAL = frozenset({"eye_offset", "head_weight_g"})
STORED_MM = Decimal("0.0000001")
"""1/64 in is 0.396875 mm: seven places keep every fraction that a rule has exactly as typed."""
STORED_G = Decimal("0.000000001")
LONGEST_TEXT = 40
"""A measure is a few signs long; more is a slip of the clipboard."""
MOST = Decimal(10_000_000)
"""Millimetres or grams beyond which a number is a slip of the keyboard; the library's own limits are far below."""


@dataclass(frozen=True)
class Measures:
    """Read measures in mm and g, as typed, and what is unlikely about them."""

    values: dict[str, Decimal | None]
    typed: dict[str, str]
    length_unit: str
    weight_unit: str
    mark: str
    warnings: list[str]


def read_measures(
    typed: Mapping[str, object],
    product: Product,
    *,
    length_unit: str,
    weight_unit: str,
    mark: str = Mark.NONE,
    piece: Piece | None = None,
) -> Measures:
    """Read typed measures of a tool of this product.

    Bare numbers are in the units given; a text may name its own, such as `4 5/8 in`. What is far from the product's
    other pieces, or from its head weight, is among the warnings; `piece` is not held against itself. Raises
    MeasuresRefused, with a sentence for every field that is missing or unreadable, or for the first rule that makes the
    piece impossible.
    """
    values: dict[str, Decimal | None] = {}
    kept: dict[str, str] = {}
    faults: dict[str, str] = {}
    for name in (*MEASURES, *WEIGHTS):
        try:
            text = _text(typed.get(name))
            values[name] = _read(name, text, length_unit, weight_unit)
        except adapter.UnreadableMeasure as fault:
            faults[name] = f"{measure_label(name)}: {fault}"
        else:
            if text:
                kept[name] = text
    if faults:
        raise MeasuresRefused(faults)
    write = Wording(Units(length_unit, weight_unit))
    try:
        findings = adapter.tool_findings(adapter.tool_content("piece", product.pattern, values, mark=mark))
    except adapter.BadInput as fault:
        name = fault.field.rpartition(".")[2]
        raise MeasuresRefused({name: f"{measure_label(name)}: {_typed(write.message(fault.sentence))}"}) from fault
    findings += odd_fractions(kept)
    findings += beside_its_like(values, product, besides=None if piece is None else piece.pk)
    warnings = [_begun(_typed(write.message(finding))) for finding in findings]
    return Measures(values, kept, length_unit, weight_unit, mark, warnings)


def record(piece: Piece, measures: Measures, *, confirmed: bool = False, edge_guard_on: bool | None = None) -> Piece:
    """Store measures on a piece, new or known.

    Raises MeasuresUnusual where they are unlikely and not confirmed, MeasuresRefused where the piece lies in a closed
    box or is gone, or where a tool with an edge was measured without its guard.
    """
    guarded = piece.edge_guard_on if edge_guard_on is None else edge_guard_on
    refuse_bare_edge(piece.product.pattern, guarded)
    # Refused before asked about: nobody is to confirm measures that could not be stored anyway.
    if measures.warnings and not confirmed:
        refuse_gone(piece)
        raise MeasuresUnusual({"confirmed": " ".join(measures.warnings)})
    now = timezone.now()
    values: dict[str, object] = {
        **measures.values,
        "typed": measures.typed,
        "measured_in": measures.length_unit,
        "weighed_in": measures.weight_unit,
        "mark": measures.mark,
        "measured_at": now,
        "weighed_at": now,
        "confirmed": bool(measures.warnings),
        "edge_guard_on": guarded,
    }
    for name, value in values.items():
        setattr(piece, name, value)
    if piece.pk is None:
        piece.full_clean()
        piece.save()
        return piece
    with transaction.atomic():
        hold(piece)
        refuse_gone(piece)
        piece.full_clean()
        # What happened to the piece meanwhile is not in these fields, and stays.
        piece.save(update_fields=list(values))
    return piece


def refuse_gone(piece: Piece) -> None:
    """Raise MeasuresRefused for a piece that is sent or in a closed box: papers and weights speak of it as it was."""
    if piece.state in (PieceState.SENT, PieceState.REPAIR):
        named = {"piece": piece.label, "state": piece.get_state_display()}
        raise MeasuresRefused({"": _("%(piece)s is %(state)s: its measures stay as they are.") % named})
    packed = packed_with(piece)
    if packed is not None:
        held = {"piece": piece.label, "number": packed.order.number}
        raise MeasuresRefused({"": _("%(piece)s is packed for order %(number)d: open the box again first.") % held})


def refuse_bare_edge(pattern: Pattern, edge_guard_on: bool) -> None:
    """Raise MeasuresRefused where a tool with an edge was measured without its guard, which travels with it."""
    if pattern.sharp != Sharp.NONE and not edge_guard_on:
        raise MeasuresRefused({"edge_guard_on": _("A tool with an edge is measured with its edge guard on.")})


def _typed(sentence: str) -> str:
    """A sentence with the spaces that people type: it goes to forms and to the API alike."""
    return sentence.replace("\u00a0", " ")


def _begun(sentence: str) -> str:
    """A sentence that begins with a capital letter."""
    return sentence[:1].upper() + sentence[1:]


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool) or not isinstance(value, str | int | float | Decimal):
        raise adapter.UnreadableMeasure(
            _("must be a number or a text such as “4 5/8 in”, not %(value)s.") % {"value": value}
        )
    text = str(value).strip()
    if len(text) > LONGEST_TEXT:
        raise adapter.UnreadableMeasure(_("must have at most %(most)d characters.") % {"most": LONGEST_TEXT})
    return text


def _read(name: str, text: str, length_unit: str, weight_unit: str) -> Decimal | None:
    if not text and name in OPTIONAL:
        return None
    parse, unit, step = (
        (adapter.parse_weight, weight_unit, STORED_G)
        if name in WEIGHTS
        else (adapter.parse_length, length_unit, STORED_MM)
    )
    value = parse(text, unit)
    if value > MOST:
        raise adapter.UnreadableMeasure(_("“%(text)s” is far too large for a tool.") % {"text": text})
    return value.quantize(step, ROUND_HALF_EVEN)
