"""Rows of a plan: frozen structs whose lengths and weights change units on the way to a file."""

import msgspec

FILE_SUFFIXES = {"_um": "_mm", "_mg": "_g", "_mg_m2": "_g_m2", "_g_m3": "_kg_m3"}
"""Ending of a field inside to its ending in a file; each unit in a file is a thousand of the one inside."""

LENGTHS_BY_NAME = ("outline", "traced")
"""Keys in a file whose lengths are in millimetres without saying so, as in an order file."""

Point = tuple[int, int]
"""x, y in micrometres."""
Size = tuple[int, int, int]
"""Length, width, height, or x, y, z, in micrometres."""


def file_key(field: str) -> str:
    """The key of a field in a file: `weight_mg` is `weight_g` there."""
    for inside in sorted(FILE_SUFFIXES, key=len, reverse=True):
        if field.endswith(inside):
            return field.removesuffix(inside) + FILE_SUFFIXES[inside]
    return field


class Row(msgspec.Struct, frozen=True, rename=file_key):
    """A part of a plan: never changed; `msgspec.structs.replace` makes another."""
