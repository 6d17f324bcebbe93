"""What a service refuses is told in one way: on the page one was on, in the form that asked, in the API's one shape."""

from typing import Any

import pytest
from django import forms
from django.contrib.messages import get_messages
from django.http import HttpResponse
from django.test import Client
from django.urls import ResolverMatch, reverse

from shop import adapter
from shop.api.errors import error_response
from shop.services import errors
from shop.services.errors import CannotPlan, DomainError, MeasuresRefused
from shop.views.page import tells_refusals, told_in

ALL = [one for one in vars(errors).values() if isinstance(one, type) and issubclass(one, DomainError)]


class Asked(forms.Form):
    reason = forms.CharField(required=False)


def refuse(problem: Any) -> Any:
    @tells_refusals("box")
    def view(request: Any) -> HttpResponse:
        raise problem

    return view


def test_a_refusal_is_told_on_the_orders_page_in_the_place_one_was(at_the_bench: Client, planned: Any) -> None:
    request = at_the_bench.get("/").wsgi_request
    request.resolver_match = ResolverMatch(refuse, (), {"number": 17}, route="orders/<int:number>/plan/")
    answer = refuse(CannotPlan("Not now."))(request)
    assert answer.url == reverse("order", args=[17]) + "#box"
    assert [str(one) for one in get_messages(request)] == ["Not now."]


def test_a_refusal_away_from_any_page_leads_to_the_orders(at_the_bench: Client, planned: Any) -> None:
    request = at_the_bench.get("/").wsgi_request
    request.resolver_match = None
    assert refuse(adapter.BadInput("web", "must be a number."))(request).url == reverse("orders")


def test_what_is_no_refusal_is_not_swallowed(at_the_bench: Client, planned: Any) -> None:
    with pytest.raises(KeyError):
        refuse(KeyError("ours"))(at_the_bench.get("/").wsgi_request)


@pytest.mark.parametrize(
    ("problem", "where", "sentence"),
    [
        (CannotPlan("Not now."), "__all__", "Not now."),
        (MeasuresRefused({"reason": "Too short."}), "reason", "Too short."),
        (adapter.BadInput("elsewhere", "must be a number."), "__all__", "must be a number."),
    ],
)
def test_a_refusal_stands_in_the_form_beside_its_field(problem: Any, where: Any, sentence: Any) -> None:
    form = Asked({"reason": "x"})
    assert form.is_valid()
    with told_in(form):
        raise problem
    assert form.errors == {where: [sentence]}


@pytest.mark.parametrize(
    ("problem", "status", "code", "fields"),
    [
        (CannotPlan("Not now."), 409, "conflict", {}),
        (adapter.NotReady(["No lines."]), 409, "conflict", {}),
        (adapter.BadInput("web", "must be a number."), 400, "invalid", {"web": "must be a number."}),
        (MeasuresRefused({"web": "Too wide."}), 400, "invalid", {"web": "Too wide."}),
        (errors.MeasuresUnusual({"web": "Unusual."}), 400, "unusual", {"web": "Unusual."}),
    ],
)
def test_the_api_tells_each_kind_in_its_one_shape(problem: Any, status: Any, code: Any, fields: Any) -> None:
    answer = error_response(problem, None)
    assert (answer.status_code, answer.data["error"]) == (
        status,
        {"code": code, "message": str(problem), "fields": fields},
    )


@pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.__name__)
def test_every_error_of_the_services_has_a_code_of_its_base(kind: Any) -> None:
    assert kind.code in ("refused", "conflict", "invalid", "unusual")
    assert issubclass(kind, adapter.DomainError)
