"""From HTML to PDF: our own assets only, and the same HTML gives the same bytes."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from weasyprint import CSS, HTML
from weasyprint.logger import LOGGER
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

ASSETS = Path(__file__).resolve().parent.parent / "static" / "shop"
# An address that leads nowhere (RFC 2606); only the names behind it are read, by OwnAssets.
ADDRESS = "https://papers.invalid/"
DRAWINGS = ADDRESS + "drawings/"
STYLE_SHEET = "papers.css"
_ASSET = re.compile(r"fonts/(?:fonts\.css|[a-z0-9-]+\.woff2)")
"""Style sheets may name any address; only our own fonts and style are handed out."""
_TYPES = {".css": "text/css", ".woff2": "font/woff2"}


class ForeignAddress(Exception):
    """A paper asked for something that is not one of our own assets."""


class Misprint(Exception):
    """The typesetter left something out."""


class OwnAssets(URLFetcher):
    """Hands out the papers' fonts and one paper's drawings. Every other address is refused: files, the network, data.

    Parameters
    ----------
    drawings
        SVG by file name.
    """

    def __init__(self, drawings: Mapping[str, str] | None = None) -> None:
        super().__init__(allowed_protocols=("https",), allow_redirects=False, fail_on_errors=True)
        self.drawings = drawings or {}
        self.refused: list[str] = []

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
        name = url.removeprefix(ADDRESS)
        if url.startswith(DRAWINGS) and (svg := self.drawings.get(url.removeprefix(DRAWINGS))) is not None:
            return URLFetcherResponse(url, svg.encode(), {"Content-Type": "image/svg+xml"})
        if not url.startswith(ADDRESS) or not _ASSET.fullmatch(name):
            self.refused.append(f"Papers are made from our own assets alone, not from {url[:80]!r}.")
            raise ForeignAddress(self.refused[-1])
        path = ASSETS / name
        return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": _TYPES[path.suffix]})


@dataclass(frozen=True)
class PdfAssets:
    """Fonts and style sheet, read once and shared by all papers of a process."""

    fonts: FontConfiguration
    style: CSS


@lru_cache(maxsize=1)
def pdf_assets() -> PdfAssets:
    """The fonts and style sheet that the process prints with; the first call reads them."""
    fonts = FontConfiguration()
    style = CSS(
        string=(ASSETS / STYLE_SHEET).read_text(encoding="utf-8"),
        base_url=ADDRESS,
        url_fetcher=OwnAssets(),
        font_config=fonts,
    )
    return PdfAssets(fonts=fonts, style=style)


@dataclass(frozen=True)
class Print:
    """A printed paper: the PDF and how many sheets it has."""

    pdf: bytes
    sheets: int


class _Complaints(logging.Handler):
    """Keeps the errors that the typesetter only writes to its log, a picture it left out among them."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(record.getMessage())


@contextmanager
def _complaints() -> Iterator[list[str]]:
    handler = _Complaints()
    LOGGER.addHandler(handler)
    try:
        yield handler.texts
    finally:
        LOGGER.removeHandler(handler)


def print_html(html: str, drawings: Mapping[str, str] | None = None) -> Print:
    """Print one paper.

    Parameters
    ----------
    html
        A whole document, already escaped.
    drawings
        The SVG that it shows as ``drawings/NAME``, by name.

    Raises
    ------
    ForeignAddress
        The document asks for anything but our own assets.
    Misprint
        Something of the document could not be set, such as a drawing.
    """
    own, fetcher = pdf_assets(), OwnAssets(drawings)
    with _complaints() as complaints:
        try:
            document = HTML(string=html, base_url=ADDRESS, url_fetcher=fetcher).render(
                stylesheets=[own.style], font_config=own.fonts
            )
            pdf = document.write_pdf()
        except FatalURLFetchingError as error:
            raise ForeignAddress(str(error.__cause__ or error)) from error
    # The typesetter goes on without what it was refused, and would print a paper with a hole in it.
    if fetcher.refused:
        raise ForeignAddress(" ".join(fetcher.refused))
    if complaints:
        raise Misprint(" ".join(complaints))
    return Print(pdf=pdf, sheets=len(document.pages))
