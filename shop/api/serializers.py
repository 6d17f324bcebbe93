"""Values that the API reads and shows: pieces, orders, plans and jobs, plain."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from rest_framework import exceptions, serializers

from shop.access import permissions
from shop.api.errors import refuse_unknown
from shop.formatting import WEIGHTS
from shop.models import (
    MEASURES,
    BoxPlan,
    Job,
    LengthUnit,
    Mark,
    Order,
    OrderLine,
    Parcel,
    Piece,
    WeightUnit,
)
from shop.services import planning


class MeasuresIn(serializers.Serializer[Piece]):
    """Measures as they come in: numbers, or texts such as `4 5/8 in`, with the units of bare numbers."""

    length_unit = serializers.ChoiceField(choices=LengthUnit.choices, required=False)
    weight_unit = serializers.ChoiceField(choices=WeightUnit.choices, required=False)
    mark = serializers.ChoiceField(choices=Mark.choices, required=False)
    edge_guard_on = serializers.BooleanField(required=False)
    confirmed = serializers.BooleanField(required=False, default=False)

    def to_internal_value(self, data: Any) -> Any:
        if not isinstance(data, Mapping):
            raise exceptions.ValidationError({"": [_("The body must be an object with named fields.")]})
        refuse_unknown(data, {*self.fields, *MEASURES, *WEIGHTS})
        measures = {name: data.get(name) for name in (*MEASURES, *WEIGHTS)}
        return {**super().to_internal_value(data), "measures": measures}


class PieceIn(MeasuresIn):
    """A new piece: its product's code, its number as stamped, and its measures."""

    product = serializers.CharField()
    number = serializers.IntegerField(min_value=1, max_value=99999)


class PlanIn(serializers.Serializer[Job]):
    """The time of a search; left out, it follows the number of items. Unknown fields are refused by name."""

    seconds = serializers.IntegerField(min_value=1, max_value=planning.MOST_SECONDS, required=False)

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            refuse_unknown(data, self.fields)
        return super().to_internal_value(data)


def piece_out(piece: Piece) -> dict[str, object]:
    """A piece as the API shows it; measures are decimal texts in mm and g."""
    measures = {name: _decimal(getattr(piece, name)) for name in (*MEASURES, *WEIGHTS)}
    return {
        "id": piece.pk,
        "invented": piece.shop.is_demo,
        "label": piece.label,
        "product": piece.product.code,
        "number": piece.number,
        "name": piece.name,
        "state": piece.state,
        "reason": piece.reason,
        **measures,
        "typed": piece.typed,
        "length_unit": piece.measured_in,
        "weight_unit": piece.weighed_in,
        "mark": piece.mark,
        "edge_guard_on": piece.edge_guard_on,
        "confirmed": piece.confirmed,
        "measured_at": piece.measured_at,
    }


def order_out(order: Order, may: permissions.Permissions) -> dict[str, object]:
    """An order as the API shows it; prices only to those who may see them."""
    return {
        "number": order.number,
        "invented": order.shop.is_demo,
        "state": order.state,
        "customer": order.customer.name,
        "placed_at": order.placed_at,
        "notes": order.notes,
        "parcels": [parcel_out(parcel) for parcel in parcels_of(order)],
        "lines": [_line_out(line, may) for line in order.lines.all()],
    }


def parcels_of(order: Order) -> list[Parcel]:
    """The parcels of an order as it is now, from what was fetched with it."""
    return [] if order.consignment is None else list(order.consignment.parcels.all())


def parcel_out(parcel: Parcel) -> dict[str, object]:
    """A parcel as the API shows it; its plan's content is asked for by its number."""
    return {
        "number": parcel.number,
        "of": parcel.plan.parcel_count,
        "state": parcel.state,
        "plan": parcel.plan_id,
        "items": list(parcel.plan.item_sources),
        "weighed_g": _decimal(parcel.weighed_g),
        "weighed_at": parcel.weighed_at,
    }


def plan_out(plan: BoxPlan, current: bool) -> dict[str, object]:
    """A plan as the API shows it: the plan file's content and what it was made from."""
    return {
        "id": plan.pk,
        "invented": plan.shop.is_demo,
        "created": plan.created,
        "current": current,
        "parcel": plan.parcel_number,
        "of": plan.parcel_count,
        "input_hash": plan.input_hash,
        "code_version": plan.code_version,
        "rules": plan.rules,
        "rows": plan.item_sources,
        "content": plan.content,
    }


def job_out(job: Job) -> dict[str, object]:
    """A job as the API shows it."""
    return {
        "id": job.pk,
        "kind": job.kind,
        "order": job.order.number,
        "state": job.state,
        "progress": job.progress,
        "error": job.error,
        "created_at": job.created_at,
        "started_at": job.started_at,
        "finished_at": job.finished_at,
    }


def _line_out(line: OrderLine, may: permissions.Permissions) -> dict[str, object]:
    kind = "product" if line.product_id else "set" if line.product_set_id else "block"
    shown: dict[str, object] = {"id": line.pk, "kind": kind, "what": str(line.what), "quantity": line.quantity}
    shown["matched"] = line.matched
    shown["pieces"] = [
        allocation.piece.label for allocation in line.allocations.all() if allocation.released_at is None
    ]
    if may.see_prices:
        shown["unit_price"], shown["currency"] = _decimal(line.unit_price), line.currency
    return shown


def _decimal(value: Any) -> str | None:
    return None if value is None else f"{value.normalize():f}"
