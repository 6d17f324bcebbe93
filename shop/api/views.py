"""The API's addresses: what each answers, and to whom."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.db.models import Prefetch, QuerySet
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import exceptions, status
from rest_framework.authentication import SessionAuthentication
from rest_framework.pagination import PageNumberPagination
from rest_framework.permissions import IsAuthenticated
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from shop import adapter
from shop.access import permissions
from shop.api.errors import error_response
from shop.api.parser import refuse_unwritable
from shop.api.serializers import MeasuresIn, PieceIn, PlanIn, job_out, order_out, piece_out, plan_out
from shop.forms import units_of
from shop.models import (
    Job,
    JobKind,
    Order,
    OrderState,
    Parcel,
    Piece,
    PieceState,
    Product,
    User,
)
from shop.services import jobs, planning
from shop.services.errors import CannotPlan
from shop.services.measurements import read_measures, record


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

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        refuse_unwritable(value for values in request.query_params.lists() for value in values[1])

    def pages(self, request: Request, queryset: QuerySet[Any], show: Callable[[Any], dict[str, Any]]) -> Response:
        """One page of rows."""
        pages = Pages()
        rows = pages.paginate_queryset(queryset, request, view=self)
        return pages.get_paginated_response([show(row) for row in rows or []])


class PieceList(ShopView):
    """`GET` lists the shop's pieces, by `state` and `product` if asked; `POST` adds a measured one."""

    def get(self, request: Request) -> Response:
        pieces, _may = permissions.queryset_for(request.user, Piece, require="see_pieces")
        pieces = pieces.select_related("product", "shop").order_by("product__code", "number")
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
            sentence = _("%(piece)s is already on record: it is %(state)s. A number is never given twice.")
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
        parcels = Parcel.objects.select_related("plan").defer("plan__content").order_by("number")
        orders = orders.select_related("customer", "shop", "consignment").prefetch_related(
            "lines__product",
            "lines__product_set",
            "lines__block",
            "lines__allocations__piece__product",
            Prefetch("consignment__parcels", parcels),
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
    """`GET` gives the content of an order's only plan; `POST` asks for new ones and answers with the job."""

    def get(self, request: Request, number: int) -> Response:
        order, _may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
        parcels = list(order.parcels.select_related("plan"))
        if not parcels:
            raise Http404(_("Order %(number)d has no box plan yet.") % {"number": number})
        if len(parcels) > 1:
            sentence = _(
                "Order %(number)d leaves in %(count)d parcels, each with its own plan: ask for them at "
                "/api/orders/%(number)d/parcels/1/plan/ and so on."
            )
            raise CannotPlan(sentence % {"number": number, "count": len(parcels)})
        return Response(plan_out(parcels[0].plan, adapter.is_current(order)))

    def post(self, request: Request, number: int) -> Response:
        order, _may = permissions.get_object_or_404(request.user, Order, require="plan", number=number)
        asked = PlanIn(data=request.data)
        asked.is_valid(raise_exception=True)
        job = planning.request_plan(order, asked.validated_data.get("seconds"))
        return Response(job_out(job), status=status.HTTP_202_ACCEPTED)


class ParcelPlan(ShopView):
    """`GET` gives the content of the plan of one of an order's parcels."""

    def get(self, request: Request, number: int, parcel: int) -> Response:
        order, _may = permissions.get_object_or_404(request.user, Order, require="see_orders", number=number)
        found = order.parcels.select_related("plan").filter(number=parcel).first()
        if found is None:
            raise Http404(_("Order %(number)d has no parcel %(parcel)d.") % {"number": number, "parcel": parcel})
        return Response(plan_out(found.plan, adapter.is_current(order)))


class PlanSchema(ShopView):
    """`GET` gives the JSON schema of a plan's file, the same for every shop."""

    def get(self, request: Request) -> Response:
        return Response(adapter.json_schema())


class JobOne(ShopView):
    """`GET` shows how far a job is; `DELETE` cancels it, whoever asked for it."""

    def get(self, request: Request, pk: int) -> Response:
        job, _may = permissions.get_object_or_404(request.user, Job, require="see_orders", pk=pk)
        return Response(job_out(job))

    def delete(self, request: Request, pk: int) -> Response:
        job, may = permissions.get_object_or_404(request.user, Job, require="see_orders", pk=pk)
        may.require("plan" if job.kind == JobKind.PLAN else "print_papers")
        if not jobs.cancel(job):
            raise CannotPlan(_("It is over already: there is nothing to cancel."))
        job.refresh_from_db()
        return Response(job_out(job))


class ApiNotFound(ShopView):
    """Every other address under /api/: 404 in the error shape."""

    def dispatch(self, request: Any, *args: Any, **kwargs: Any) -> Any:
        self.http_method_names = ["get"]
        return super().dispatch(request, *args, **kwargs)

    def get(self, request: Request, rest: str) -> Response:
        raise Http404(_("There is nothing at this address."))


def _measure(user: User | AnonymousUser, piece: Piece, cleaned: Mapping[str, Any]) -> Piece:
    length_unit, weight_unit = units_of(user, piece.shop)
    measures = read_measures(
        cleaned["measures"],
        piece.product,
        length_unit=cleaned.get("length_unit") or length_unit,
        weight_unit=cleaned.get("weight_unit") or weight_unit,
        mark=cleaned.get("mark") or piece.mark,
        piece=piece,
    )
    return record(piece, measures, confirmed=cleaned["confirmed"], edge_guard_on=cleaned.get("edge_guard_on"))


def _filtered(queryset: QuerySet[Any], name: str, value: str | None, allowed: list[str]) -> QuerySet[Any]:
    if value is None:
        return queryset
    if value not in allowed:
        sentence = _("must be one of %(allowed)s, not “%(value)s”.") % {"allowed": ", ".join(allowed), "value": value}
        raise exceptions.ValidationError({name: [sentence]})
    return queryset.filter(**{name: value})
