"""Headers of every answer: what a page may load and run, and that nothing of it is kept."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        # The pictures of a plan bring their own style attributes.
        "style-src 'self' 'unsafe-inline'",
        "img-src 'self' data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
"""No script but our own files runs in a page, whatever stands in a name or a note."""


def private(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware: an answer that was made for someone is kept by no browser and no proxy; files of ours may be."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.get("Content-Type", "").startswith("text/html"):
            response.headers.setdefault("Content-Security-Policy", POLICY)
        if "public" not in response.get("Cache-Control", ""):
            response.headers["Cache-Control"] = "no-store"
        return response

    return answer
