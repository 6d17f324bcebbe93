"""Traced outlines, read from the files of a drawing program; apart since the libraries for these are slow to load."""

from __future__ import annotations

from pathlib import PurePath

from packing.measure import BadInput
from packing.tracing import tracing_content
from packing.tracing.files import read_tracing


def traced_from(name: str, data: bytes) -> dict[str, list[list[int]]]:
    """Read a traced outline from a file.

    Parameters
    ----------
    name
        Of the file; its ending says what it is, .svg or .dxf.
    data
        What is in it.

    Returns
    -------
    dict
        As a pattern keeps it.

    Raises
    ------
    BadInput
        It cannot be used; the sentence says why.
    """
    try:
        text = data.decode()
    except UnicodeDecodeError:
        raise BadInput("traced", "must be a text file, SVG or DXF in UTF-8.") from None
    return tracing_content(read_tracing(text, PurePath(name).suffix.lower().removeprefix(".")))
