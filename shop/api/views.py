"""The API under /api/: pieces, orders, plans and jobs, behind the same permissions as the screens.

Every error has one shape: `{"error": {"code": ..., "message": ..., "fields": {...}}}`.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.core.exceptions import ValidationError as InvalidRow
from django.db import IntegrityError
from django.db.models import QuerySet
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import exceptions, serializers, status
from rest_framework.authentication import SessionAuthentication
from rest_framework.pagination import PageNumberPagination
from rest_framework.permissions import IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from shop import adapter
from shop.access import permissions
from shop.forms import units_of
from shop.models import (
    MEASURES,
    BoxPlan,
    Job,
    LengthUnit,
    Mark,
    Order,
    OrderLine,
    OrderState,
    Piece,
    PieceState,
    Product,
    User,
    WeightUnit,
)
from shop.services import planning
from shop.services.errors import CannotAllocate, CannotPlan, MeasuresRefused, MeasuresUnusual
from shop.services.measurements import WEIGHTS, read_measures, record

CONFLICTS = (adapter.NotReady, CannotPlan, CannotAllocate)


def error(code: str, message: str, http: int, fields: Mapping[str, str] | None = None) -> Response:
    """The one shape of every error."""
    return Response({"error": {"code": code, "message": message, "fields": dict(fields or {})}}, status=http)


def error_response(problem: Exception, context: Any) -> Response | None:
    """Turn an exception into the error shape; None for what is a fault of ours."""
    if isinstance(problem, MeasuresRefused):
        code = "unusual" if isinstance(problem, MeasuresUnusual) else "invalid"
        return error(code, str(problem), status.HTTP_400_BAD_REQUEST, problem.fields)
    if isinstance(problem, adapter.BadInput):
        return error("invalid", str(problem), status.HTTP_400_BAD_REQUEST, {problem.field: problem.message})
    if isinstance(problem, CONFLICTS):
        return error("conflict", str(problem), status.HTTP_409_CONFLICT)
    if isinstance(problem, Http404):
        return error("not_found", str(problem) or _("There is no such thing."), status.HTTP_404_NOT_FOUND)
    if isinstance(problem, PermissionDenied):
        return error("not_allowed", str(problem) or _("This is not allowed."), status.HTTP_403_FORBIDDEN)
    if isinstance(problem, InvalidRow):
        fields = {name: " ".join(sentences) for name, sentences in problem.message_dict.items()}
        return error("invalid", " ".join(fields.values()), status.HTTP_400_BAD_REQUEST, fields)
    if isinstance(problem, IntegrityError):
        return error("conflict", _("Someone else was quicker: look again."), status.HTTP_409_CONFLICT)
    if isinstance(problem, exceptions.ValidationError):
        fields = _field_sentences(problem.detail)
        named = " ".join(_naming(name, sentence) for name, sentence in fields.items())
        return error("invalid", named, status.HTTP_400_BAD_REQUEST, fields)
    if isinstance(problem, exceptions.APIException):
        return error(str(problem.default_code), str(problem.detail), problem.status_code)
    return None


def _naming(name: str, sentence: str) -> str:
    """A sentence that names its field."""
    return sentence if not name or name in sentence else f"{name}: {sentence}"


def _field_sentences(detail: Any) -> dict[str, str]:
    if not isinstance(detail, Mapping):
        return {"": " ".join(str(sentence) for sentence in detail)}
    return {
        name: " ".join(str(sentence) for sentence in (found if isinstance(found, list) else [found]))
        for name, found in detail.items()
    }


def _refuse_unknown(data: Mapping[str, Any], known: Container[str]) -> None:
    unknown = {key: [_("%(key)s is not known here.") % {"key": key}] for key in data if key not in known}
    if unknown:
        raise exceptions.ValidationError(unknown)


class MeasuresIn(serializers.Serializer[Piece]):
    """How measures come in: numbers, or texts such as `4 5/8 in`, with the units of bare numbers."""

    length_unit = serializers.ChoiceField(choices=LengthUnit.choices, required=False)
    weight_unit = serializers.ChoiceField(choices=WeightUnit.choices, required=False)
    mark = serializers.ChoiceField(choices=Mark.choices, required=False)
    edge_guard_on = serializers.BooleanField(required=False)
    confirmed = serializers.BooleanField(required=False, default=False)

    def to_internal_value(self, data: Any) -> Any:
        if not isinstance(data, Mapping):
            raise exceptions.ValidationError({"": [_("The body must be an object with named fields.")]})
        _refuse_unknown(data, {*self.fields, *MEASURES, *WEIGHTS})
        measures = {name: data.get(name) for name in (*MEASURES, *WEIGHTS)}
        return {**super().to_internal_value(data), "measures": measures}


class PieceIn(MeasuresIn):
    """A new piece: its product's code, its number as stamped, and its measures."""

    product = serializers.CharField()
    number = serializers.IntegerField(min_value=1, max_value=99999)


class PlanIn(serializers.Serializer[Job]):
    """How long the search may take; left out, it follows the number of items. Unknown fields are refused by name."""

    seconds = serializers.IntegerField(min_value=1, max_value=planning.MOST_SECONDS, required=False)

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            _refuse_unknown(data, self.fields)
        return super().to_internal_value(data)


def piece_out(piece: Piece) -> dict[str, Any]:
    """A piece as the API shows it; measures are decimal texts in mm and g."""
    measures = {name: _decimal(getattr(piece, name)) for name in (*MEASURES, *WEIGHTS)}
    return {
        "id": piece.pk,
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


def order_out(order: Order, may: permissions.Permissions) -> dict[str, Any]:
    """An order as the API shows it; prices only to those who may see them."""
    return {
        "number": order.number,
        "state": order.state,
        "customer": order.customer.name,
        "placed_at": order.placed_at,
        "notes": order.notes,
        "current_plan": order.current_plan_id,
        "lines": [_line_out(line, may) for line in order.lines.all()],
    }


def plan_out(plan: BoxPlan, current: bool) -> dict[str, Any]:
    """A plan as the API shows it: the plan file's content and what it was made from."""
    return {
        "id": plan.pk,
        "created": plan.created,
        "current": current,
        "input_hash": plan.input_hash,
        "code_version": plan.code_version,
        "rules": plan.rules,
        "rows": plan.item_sources,
        "content": plan.content,
    }


def job_out(job: Job) -> dict[str, Any]:
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


def _line_out(line: OrderLine, may: permissions.Permissions) -> dict[str, Any]:
    kind = "product" if line.product_id else "set" if line.product_set_id else "block"
    shown: dict[str, Any] = {"id": line.pk, "kind": kind, "what": str(line.what), "quantity": line.quantity}
    shown["matched"] = line.matched
    shown["pieces"] = [
        allocation.piece.label for allocation in line.allocations.all() if allocation.released_at is None
    ]
    if may.see_prices:
        shown["unit_price"], shown["currency"] = _decimal(line.unit_price), line.currency
    return shown


def _decimal(value: Any) -> str | None:
    return None if value is None else f"{value.normalize():f}"


class Pages(PageNumberPagination):
    """Fifty rows a page; `page_size` asks for up to 200."""

    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = 200


class ShopView(APIView):
    """Session log-in, the one error shape and pages, for every address of the API."""

    authentication_classes = [SessionAuthentication]
    permission_classes = [IsAuthenticated]

    def get_exception_handler(self) -> Callable[[Exception, Any], Response | None]:
        return error_response

    def pages(self, request: Request, queryset: QuerySet[Any], show: Callable[[Any], dict[str, Any]]) -> Response:
        """One page of rows."""
        pages = Pages()
        rows = pages.paginate_queryset(queryset, request, view=self)
        return pages.get_paginated_response([show(row) for row in rows or []])


class PieceList(ShopView):
    """`GET` lists the shop's pieces, by `state` and `product` if asked; `POST` adds a measured one."""

    def get(self, request: Request) -> Response:
        pieces, _may = permissions.queryset_for(request.user, Piece, require="see_pieces")
        pieces = pieces.select_related("product").order_by("product__code", "number")
        pieces = _filtered(pieces, "state", request.query_params.get("state"), PieceState.values)
        code = request.query_params.get("product")
        return self.pages(request, pieces.filter(product__code=code) if code else pieces, piece_out)

    def post(self, request: Request) -> Response:
        shop, may = permissions.current_shop(request.user)
        may.require("measure")
        asked = PieceIn(data=request.data)
        asked.is_valid(raise_exception=True)
        product = Product.objects.filter(shop=shop, code=asked.validated_data["product"]).first()
        if product is None:
            sentence = _("There is no product %(code)s in your shop.") % {"code": asked.validated_data["product"]}
            raise exceptions.ValidationError({"product": [sentence]})
        number = asked.validated_data["number"]
        there = Piece.objects.filter(product=product, number=number).first()
        if there is not None:
            sentence = _("%(piece)s is there already: it is %(state)s. A number is never given twice.")
            named = {"piece": there.label, "state": there.get_state_display()}
            raise exceptions.ValidationError({"number": [sentence % named]})
        piece = _measure(request.user, Piece(shop=shop, product=product, number=number), asked.validated_data)
        return Response(piece_out(piece), status=status.HTTP_201_CREATED)


class PieceOne(ShopView):
    """`GET` shows a piece; `PUT` measures it again."""

    def get(self, request: Request, pk: int) -> Response:
        piece, _may = permissions.get_object_or_404(request.user, Piece, require="see_pieces", pk=pk)
        return Response(piece_out(piece))

    def put(self, request: Request, pk: int) -> Response:
        piece, _may = permissions.get_object_or_404(request.user, Piece, require="measure", pk=pk)
        asked = MeasuresIn(data=request.data)
        asked.is_valid(raise_exception=True)
        return Response(piece_out(_measure(request.user, piece, asked.validated_data)))


class OrderList(ShopView):
    """`GET` lists the shop's orders, by `state` if asked."""

    def get(self, request: Request) -> Response:
        orders, may = permissions.queryset_for(request.user, Order, require="see_orders")
        orders = orders.select_related("customer").prefetch_related(
            "lines__product", "lines__product_set", "lines__block", "lines__allocations__piece__product"
        )
        orders = _filtered(orders, "state", request.query_params.get("state"), OrderState.values)
        return self.pages(request, orders, lambda order: order_out(order, may))


class OrderOne(ShopView):
    """`GET` shows an order: its lines, the pieces allocated, and whether its plan is current."""

    def get(self, request: Request, number: int) -> Response:
        order, may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
        current = {"plan_is_current": adapter.is_current(order)}
        return Response({**order_out(order, may), **current})


class OrderPlan(ShopView):
    """`GET` gives the content of the order's current plan; `POST` asks for a new one and answers with the job."""

    def get(self, request: Request, number: int) -> Response:
        order, _may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
        if order.current_plan is None:
            raise Http404(_("Order %(number)d has no box plan yet.") % {"number": number})
        return Response(plan_out(order.current_plan, adapter.is_current(order)))

    def post(self, request: Request, number: int) -> Response:
        order, _may = permissions.get_object_or_404(request.user, Order, require="plan", number=number)
        asked = PlanIn(data=request.data)
        asked.is_valid(raise_exception=True)
        job = planning.request_plan(order, asked.validated_data.get("seconds"))
        return Response(job_out(job), status=status.HTTP_202_ACCEPTED)


class JobOne(ShopView):
    """`GET` shows how far a job is."""

    def get(self, request: Request, pk: int) -> Response:
        job, _may = permissions.get_object_or_404(request.user, Job, require="see_orders", pk=pk)
        return Response(job_out(job))


class ApiNotFound(ShopView):
    """Every other address under /api/: 404 in the error shape."""

    def dispatch(self, request: Any, *args: Any, **kwargs: Any) -> Any:
        self.http_method_names = ["get"]
        return super().dispatch(request, *args, **kwargs)

    def get(self, request: Request, rest: str) -> Response:
        raise Http404(_("There is nothing at this address."))


def _measure(user: User | AnonymousUser, piece: Piece, asked: Mapping[str, Any]) -> Piece:
    length_unit, weight_unit = units_of(user, piece.shop)
    measures = read_measures(
        asked["measures"],
        piece.product.pattern,
        length_unit=asked.get("length_unit") or length_unit,
        weight_unit=asked.get("weight_unit") or weight_unit,
        mark=asked.get("mark") or piece.mark,
    )
    return record(piece, measures, confirmed=asked["confirmed"], edge_guard_on=asked.get("edge_guard_on"))


def _filtered(queryset: QuerySet[Any], name: str, value: str | None, allowed: list[str]) -> QuerySet[Any]:
    if value is None:
        return queryset
    if value not in allowed:
        sentence = _("must be one of %(allowed)s, not “%(value)s”.") % {"allowed": ", ".join(allowed), "value": value}
        raise exceptions.ValidationError({name: [sentence]})
    return queryset.filter(**{name: value})
