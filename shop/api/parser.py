"""JSON as the API reads it: what no column and no text could hold is refused before anything is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import IO, Any

from django.utils.translation import gettext as _
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser

from shop.forms.json_text import UNWRITABLE, texts_in


class ShopJSONParser(JSONParser):
    """JSON whose texts can be stored; bodies nested too deeply to read are refused."""

    def parse(
        self, stream: IO[Any], media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        try:
            data = super().parse(stream, media_type, parser_context)
            refuse_unwritable(texts_in(data))
        except RecursionError:
            raise ParseError(_("The body is nested too deeply to be read.")) from None
        return data


def refuse_unwritable(texts: Iterable[str]) -> None:
    """Raise ParseError where a text holds what no text can."""
    for text in texts:
        found = UNWRITABLE.search(text)
        if found is not None:
            sentence = _("A text holds U+%(code)04X, which is no character: %(text)s.")
            raise ParseError(sentence % {"code": ord(found[0]), "text": ascii(text[:60])})
