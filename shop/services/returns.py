"""Pieces that come back for good: kept back until they are measured again, and nobody's until then."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import Allocation, OrderEvent, OrderEventKind, Piece, PieceState, User
from shop.services import audit
from shop.services.errors import CannotMove

OUT = (PieceState.SENT, PieceState.REPAIR)


def take_return(piece: Piece, why: str, by: User | None = None) -> None:
    """Take a sent piece back for good: it keeps its number, is no longer its holder's, and is to be inspected.

    Raises
    ------
    CannotMove
        No reason is given, or the piece is not out with a holder; nothing changes.
    """
    why = why.strip()[:150]
    if not why:
        raise CannotMove(_("Say why %(piece)s has come back: it stays on record.") % {"piece": piece.label})
    with transaction.atomic():
        held = Allocation.objects.live().select_related("line__order").filter(piece=piece).first()
        reason = _("came back, to be inspected: %(why)s") % {"why": why}
        # Conditional: of two people who take it in one does, and the other is told how it stands.
        moved = Piece.objects.filter(pk=piece.pk, state__in=OUT).update(state=PieceState.KEPT_BACK, reason=reason[:200])
        before = {"state": piece.state}
        piece.refresh_from_db(fields=["state", "reason"])
        if not moved or held is None:
            raise CannotMove(
                _("%(piece)s is %(state)s: nobody can have sent it back.")
                % {"piece": piece.label, "state": piece.get_state_display()}
            )
        released = {"released_at": timezone.now(), "released_why": why}
        Allocation.objects.filter(pk=held.pk, released_at__isnull=True).update(**released)
        OrderEvent.objects.create(order=held.line.order, piece=piece, kind=OrderEventKind.RETURNED, by=by, why=why)
        audit.record("returned", piece, before=before, after={"state": piece.state, "why": why})


def to_be_inspected(piece: Piece) -> bool:
    """True where a piece came back for good and has not been measured and weighed again since."""
    latest = piece.events.filter(kind=OrderEventKind.RETURNED).last()
    if latest is None:
        return False
    seen = (piece.measured_at, piece.weighed_at)
    return any(at is None or at < latest.at for at in seen)
