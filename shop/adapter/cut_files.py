"""The cutting files of a plan's box and insert, as one archive."""

from __future__ import annotations

import io
import zipfile

from packing.plan import Plan

FIXED_DATE = (1980, 1, 1, 0, 0, 0)
"""The first day a zip archive knows: with the day of the request in it the same plan would not give the same bytes."""


def cut_archive(plan: Plan) -> bytes:
    """Pack an SVG and a DXF of every flat piece and insert sheet, full size in mm, and the cautions.

    Parameters
    ----------
    plan
        Whose box and insert they are.

    Returns
    -------
    bytes
        A zip archive. The same plan gives the same bytes.

    Raises
    ------
    BadInput
        The plan's box was made before boxes listed their pieces.
    """
    from packing.draw.cut_file_dxf import cut_files  # noqa: PLC0415 -- slow to load, and few pages need it

    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in cut_files(plan).items():
            entry = zipfile.ZipInfo(name, FIXED_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, text)
    return held.getvalue()
