"""Screens of our own for what is not there and what is not allowed, with the way back for members."""

from __future__ import annotations

import logging
from collections.abc import Callable
from http import HTTPStatus

from django import shortcuts
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from shop.access import permissions
from shop.services.passing import is_passing, said_of
from shop.views.page import page_of, render

logger = logging.getLogger(__name__)
READING = ("GET", "HEAD")
NUL = ("%00", "\0")
"""As a browser writes it in an address, and as it is."""


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404, with our sentence if the refusal was ours."""
    first = exception.args[0] if exception.args else ""
    return _told(request, "404.html", 404, first if isinstance(first, str) else "")


def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403, with the sentence of what the role does not allow."""
    return _told(request, "403.html", 403, str(exception))


def way_back(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: who only looks at an address that wants something sent to it gets the page it belongs to.

    That is where one is after logging in again in the middle of something; nothing is done.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.status_code != HTTPStatus.METHOD_NOT_ALLOWED or request.method not in READING:
            return response
        back = page_of(request)
        return response if back is None else redirect(back)

    return answer


def unreadable(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: an address with a NUL in its question and a form in other letters than UTF-8 are refused in words.

    No database looks for a NUL, and Django reads such a form again while it answers that it cannot be read. The API
    refuses both in its own shape.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        reason = "" if request.path.startswith("/api/") else _unreadable(request)
        return (
            shortcuts.render(request, "400.html", {"reason": reason}, status=400) if reason else get_response(request)
        )

    return answer


def _unreadable(request: HttpRequest) -> str:
    """The reason why a request cannot be read, if so."""
    question = request.META.get("QUERY_STRING", "")
    if any(sign in question for sign in NUL):
        return _("The address asks for a NUL, which no text holds.")
    form, letters = request.content_type == "application/x-www-form-urlencoded", request.encoding or "utf-8"
    if form and letters.lower() != "utf-8":
        return _("A form is sent as UTF-8, not as %(letters)s.") % {"letters": letters}
    return ""


def _told(request: HttpRequest, template: str, status: int, reason: str) -> HttpResponse:
    try:
        shop, may = permissions.current_shop(request.user)
    except Http404:
        return shortcuts.render(request, template, {"reason": reason}, status=status)
    return render(request, template, shop, may, status=status, reason=reason)


def busy(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: a database that is busy or away, or a disk that is full, is told as such, and may be tried again."""

    def answer(request: HttpRequest) -> HttpResponse:
        return get_response(request)

    def process_exception(request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not is_passing(exception):
            return None
        logger.error("A request could not be answered for now: %s", exception)
        # Without the shop's frame: drawing that would ask the database again.
        response = shortcuts.render(request, "503.html", {"reason": said_of(exception)}, status=503)
        response["Retry-After"] = "5"
        return response

    answer.process_exception = process_exception  # type: ignore[attr-defined]
    return answer
