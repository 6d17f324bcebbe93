"""Errors of the API in one shape: `{"error": {"code": ..., "message": ..., "fields": {...}}}`."""

from __future__ import annotations

import logging
from collections.abc import Container, Mapping
from typing import Any

from django.core.exceptions import PermissionDenied
from django.core.exceptions import ValidationError as InvalidRow
from django.db import IntegrityError
from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import exceptions, status
from rest_framework.response import Response

from shop.adapter import DomainError
from shop.services.passing import is_passing, said_of

logger = logging.getLogger(__name__)

STATUS = {"invalid": status.HTTP_400_BAD_REQUEST, "unusual": status.HTTP_400_BAD_REQUEST}
"""Of domain errors by their code; any other is a conflict with how things stand."""


def error(code: str, message: str, http: int, fields: Mapping[str, str] | None = None) -> Response:
    """The one shape of every error."""
    return Response({"error": {"code": code, "message": message, "fields": dict(fields or {})}}, status=http)


def error_response(problem: Exception, context: Any) -> Response:
    """Turn an exception into the error shape; what is a fault of ours is logged, and told as one."""
    if isinstance(problem, DomainError):
        return error(problem.code, str(problem), STATUS.get(problem.code, status.HTTP_409_CONFLICT), problem.fields)
    if isinstance(problem, Http404):
        return error("not_found", str(problem) or _("There is no such thing."), status.HTTP_404_NOT_FOUND)
    if isinstance(problem, PermissionDenied):
        return error("not_allowed", str(problem) or _("This is not allowed."), status.HTTP_403_FORBIDDEN)
    if isinstance(problem, InvalidRow):
        fields = {name: " ".join(sentences) for name, sentences in problem.message_dict.items()}
        return error("invalid", " ".join(fields.values()), status.HTTP_400_BAD_REQUEST, fields)
    if isinstance(problem, IntegrityError):
        return error("conflict", _("Someone else was quicker: look again."), status.HTTP_409_CONFLICT)
    if is_passing(problem):
        return error("busy", said_of(problem), status.HTTP_503_SERVICE_UNAVAILABLE)
    if isinstance(problem, exceptions.ValidationError):
        fields = _field_sentences(problem.detail)
        named = " ".join(_naming(name, sentence) for name, sentence in fields.items())
        return error("invalid", named, status.HTTP_400_BAD_REQUEST, fields)
    if isinstance(problem, exceptions.APIException):
        return error(str(problem.default_code), str(problem.detail), problem.status_code)
    logger.error("A request of the API broke off.", exc_info=problem)
    sentence = _("Something broke here; the server's log says more. Look what is stored before you ask again.")
    return error("fault", sentence, status.HTTP_500_INTERNAL_SERVER_ERROR)


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


def refuse_unknown(data: Mapping[str, object], known: Container[str]) -> None:
    unknown = {key: [_("%(key)s is not known here.") % {"key": key}] for key in data if key not in known}
    if unknown:
        raise exceptions.ValidationError(unknown)
