"""The forms of a page with the values that a browser would send, fields that must be filled in filled in."""

from html.parser import HTMLParser
from typing import Any

FILLED = {"date": "2026-03-07", "email": "a@b.example", "number": "1"}
"""What stands in a field that must be filled in and is empty, by its type; 1 in any other."""


class Forms(HTMLParser):
    """Collects each form that sends something: its address, and its fields with their values."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self._inside = False
        self._select = self._area = ""

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        known = dict(attrs)
        if tag == "form":
            self._inside = (known.get("method") or "").lower() == "post"
            if self._inside:
                self.found.append((known.get("action") or "", {}))
        if not self._inside:
            return
        values, name, kind = self.found[-1][1], known.get("name") or "", known.get("type") or "text"
        if tag == "input" and name and kind in ("checkbox", "radio"):
            if "checked" in known:
                values[name] = known.get("value") or "on"
        elif tag in ("input", "button") and name:
            needed = FILLED.get(kind, "1") if "required" in known else ""
            values.setdefault(name, known.get("value") or needed)
        elif tag == "textarea":
            self._area = name
            values[name] = ""
        elif tag == "select":
            self._select = name
            values[name] = ""
        elif tag == "option" and self._select and ("selected" in known or not values[self._select]):
            values[self._select] = known.get("value") or ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.found[-1][1][self._area] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = False
        elif tag == "textarea":
            self._area = ""
        elif tag == "select":
            self._select = ""


def forms_of(client: Any, address: str) -> list[tuple[str, dict[str, str]]]:
    """The forms of a page, each with the address that it is sent to."""
    page = client.get(address)
    assert page.status_code == 200
    parser = Forms()
    parser.feed(page.content.decode())
    return [(action or address, values) for action, values in parser.found]
