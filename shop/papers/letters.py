"""Letters of a text that no typeface here has: on paper they would be empty boxes, so people are told before.

Asks the library that sets the papers' lines (Pango), with the papers' own typefaces left aside: Latin, Greek and
Cyrillic are in those, all else comes from the system's.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import threading
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from django.utils.translation import gettext as _

OWN = 0x530
"""The papers' own typefaces have the letters below: Latin, Greek, Cyrillic."""
MOST_SHOWN = 12
"""A name in a script without font is one long row of boxes; a dozen letters say which script it is."""
DEBIAN_FONTS = ("fonts-noto-core", "fonts-nanum", "fonts-droid-fallback")

_lock = threading.Lock()


def unprintable(texts: Iterable[str]) -> str:
    """The letters of some texts that would be empty boxes on paper, each once."""
    asked = dict.fromkeys(letter for text in texts for letter in text)
    missing = [letter for letter in asked if ord(letter) >= OWN and not _has_form(letter)]
    return "".join(missing)


def sentence_of(letters: str) -> str:
    """Tell people of letters that cannot be printed; empty where there are none."""
    if not letters:
        return ""
    shown = " ".join(letters[:MOST_SHOWN]) + (" …" if len(letters) > MOST_SHOWN else "")
    sentence = _("These letters cannot be printed, for no typeface here has them: %(letters)s. %(advice)s")
    advice = _("Write the name in other letters too, or have typefaces installed, such as Debian’s %(fonts)s.")
    return sentence % {"letters": shown, "advice": advice % {"fonts": ", ".join(DEBIAN_FONTS)}}


@lru_cache(maxsize=4096)
def _has_form(letter: str) -> bool:
    """Tell whether any typeface has a letter; what is not seen, such as a joiner, needs none."""
    if unicodedata.category(letter) in ("Cc", "Cf", "Zs", "Zl", "Zp", "Mn"):
        return True
    typesetter = _typesetter()
    if typesetter is None:
        return True
    pango, layout = typesetter
    data = letter.encode()
    with _lock:
        pango.pango_layout_set_text(layout, data, len(data))
        return bool(pango.pango_layout_get_unknown_glyphs_count(layout) == 0)


@lru_cache(maxsize=1)
def _typesetter() -> tuple[ctypes.CDLL, ctypes.c_void_p] | None:
    """Pango with a line to be set, for the length of the process; None where it is not installed."""
    names = [ctypes.util.find_library(name) for name in ("pango-1.0", "pangoft2-1.0")]
    if None in names:
        return None
    pango, pangoft2 = (ctypes.CDLL(name) for name in names)
    for make in (pangoft2.pango_ft2_font_map_new, pango.pango_font_map_create_context, pango.pango_layout_new):
        make.restype = ctypes.c_void_p
    pango.pango_layout_set_text.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
    pango.pango_layout_get_unknown_glyphs_count.argtypes = [ctypes.c_void_p]
    fonts = ctypes.c_void_p(pangoft2.pango_ft2_font_map_new())
    context = ctypes.c_void_p(pango.pango_font_map_create_context(fonts))
    return pango, ctypes.c_void_p(pango.pango_layout_new(context))
