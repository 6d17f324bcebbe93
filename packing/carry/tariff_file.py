"""Price tables as text with one row a line: read, checked as a whole, and written again.

Columns are separated by commas, semicolons or tabs (RFC 4180 for quotes); the first line names them. A row is a price
(zone, above, up to, price), a zone (zone, country, postcodes) or a surcharge (its name, price). What holds for a whole
table (last day, currency, where it was read) need stand in one of its rows only.
"""

import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import StrEnum

from packing.carry.parse import COUNTRY_LIST
from packing.carry.tariff import SurchargePrice, Tariff, WeightPrice, Zone, plain_postcode
from packing.carry.tariff_checks import faults_of
from packing.plan import Message
from packing.sureness import Sureness

KEY = ("carrier", "service", "valid_from")
SHARED = ("valid_to", "currency", "source", "sureness", "as_of", "note")
COLUMNS = ("row", *KEY, "zone", "above", "up_to", "price", "surcharge", "country", "postcodes", *SHARED)
MOST_ROWS = 20_000
SEPARATORS = (",", ";", "\t")


class RowKind(StrEnum):
    """The kind of a line of a price table."""

    PRICE = "price"
    ZONE = "zone"
    SURCHARGE = "surcharge"


@dataclass(frozen=True, slots=True)
class RowFault:
    """A fault of one line; 0 is the table as a whole."""

    line: int
    column: str
    message: Message


@dataclass(frozen=True, slots=True)
class TariffFile:
    """The content of a text of price tables: its tables, and every fault in it."""

    tariffs: tuple[Tariff, ...]
    faults: tuple[RowFault, ...]


class _Refused(Exception):
    """One cell that cannot be read."""

    def __init__(self, column: str, message: Message) -> None:
        super().__init__(str(message))
        self.column, self.message = column, message


@dataclass
class _Table:
    """The lines of one table, as they are gathered."""

    shared: dict[str, str]
    prices: list[WeightPrice]
    zones: list[Zone]
    surcharges: list[SurchargePrice]


def read_tariffs(text: str) -> TariffFile:
    """Read price tables from text, all of it, and collect everything that is wrong with them.

    Parameters
    ----------
    text
        As a spreadsheet writes it.

    Returns
    -------
    TariffFile
        With any fault the tables are not to be used.
    """
    lines = list(_lines(text))
    if not lines:
        return TariffFile((), (RowFault(0, "", Message("There are no rows.")),))
    names = [cell.strip().lower().replace(" ", "_") for cell in lines[0][1]]
    faults = [
        RowFault(lines[0][0], name, Message("The column “{name}” is not known.", name=name))
        for name in names
        if name and name not in COLUMNS
    ]
    missing = [name for name in ("row", *KEY, "price") if name not in names]
    faults += [RowFault(lines[0][0], name, Message("The column “{name}” is missing.", name=name)) for name in missing]
    if faults or len(lines) - 1 > MOST_ROWS:
        most = Message("There are more than {most} rows.", most=str(MOST_ROWS))
        return TariffFile((), tuple(faults) or (RowFault(0, "", most),))
    tables: dict[tuple[str, str, dt.date], _Table] = {}
    for number, cells in lines[1:]:
        row = {name: cell.strip() for name, cell in zip(names, cells, strict=False)}
        try:
            _take(row, tables)
        except _Refused as refused:
            faults.append(RowFault(number, refused.column, refused.message))
    tariffs = []
    for key, table in tables.items():
        try:
            tariffs.append(_tariff(key, table))
        except _Refused as refused:
            faults.append(RowFault(0, refused.column, refused.message))
    # Rows that could not be read would look like gaps in their table.
    if not faults:
        faults = [RowFault(0, "", sentence) for sentence in faults_of(tariffs)]
    return TariffFile(tuple(tariffs), tuple(faults))


def write_tariffs(tariffs: Iterable[Tariff]) -> str:
    """Write price tables as text; `read_tariffs` gives them back.

    Parameters
    ----------
    tariffs
        In the order in which they are to stand.

    Returns
    -------
    str
        Separated by commas, with a head and CRLF at line ends as RFC 4180 has it.
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval="")
    writer.writeheader()
    for one in tariffs:
        for row in _rows(one):
            writer.writerow({**_head(one), **row})
    return out.getvalue()


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Every line that has anything in it, with its number."""
    # Spreadsheets begin a file with a mark of its encoding.
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text), delimiter=separator)
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield reader.line_num, cells


def _take(row: Mapping[str, str], tables: dict[tuple[str, str, dt.date], _Table]) -> None:
    """Put one line into its table."""
    kind = row.get("row", "").lower()
    if kind not in list(RowKind):
        kinds = ", ".join(RowKind)
        raise _Refused("row", Message("must be one of {kinds}, not “{value}”.", kinds=kinds, value=kind))
    key = (_text(row, "carrier"), _text(row, "service"), _day(row, "valid_from", needed=True) or dt.date.min)
    shared = {name: row[name] for name in SHARED if row.get(name)}
    table = tables.setdefault(key, _Table(dict(shared), [], [], []))
    for name, value in shared.items():
        if table.shared.setdefault(name, value) != value:
            known = table.shared[name]
            raise _Refused(name, Message("is “{value}” here and “{known}” above.", value=value, known=known))
    if kind == RowKind.PRICE:
        table.prices.append(_price(row, table.prices))
    elif kind == RowKind.SURCHARGE:
        table.surcharges.append(SurchargePrice(_text(row, "surcharge"), _number(row, "price", zero=True)))
    else:
        table.zones.append(_zone(row))


def _price(row: Mapping[str, str], before: Sequence[WeightPrice]) -> WeightPrice:
    zone, up_to = row.get("zone", ""), _number(row, "up_to")
    if row.get("above"):
        above = _number(row, "above", zero=True)
    else:
        # Left out it begins where the zone's last row ended.
        above = next((one.up_to for one in reversed(before) if one.zone == zone), Decimal(0))
    if up_to <= above:
        raise _Refused("up_to", Message("must be more than {above}, not {up_to}.", above=str(above), up_to=str(up_to)))
    return WeightPrice(zone, above, up_to, _number(row, "price", zero=True))


def _zone(row: Mapping[str, str]) -> Zone:
    country = row.get("country", "").upper()
    if country and (COUNTRY_LIST.fullmatch(country) is None or len(country) != 2):
        raise _Refused("country", Message("must be two letters such as DE, or empty for any, not “{it}”.", it=country))
    first, _sep, last = row.get("postcodes", "").partition("..")
    first, last = plain_postcode(first), plain_postcode(last or first)
    if len(first) != len(last) or first > last:
        it = row.get("postcodes", "")
        sentence = Message("must be a beginning such as 10, or two of one length such as 100..149, not “{it}”.", it=it)
        raise _Refused("postcodes", sentence)
    return Zone(_text(row, "zone"), country, first, last)


def _tariff(key: tuple[str, str, dt.date], table: _Table) -> Tariff:
    carrier, service, start = key
    shared = table.shared
    currency = shared.get("currency", "").upper()
    if len(currency) != 3 or not currency.isalpha():
        named = {"table": f"{carrier} {service}", "it": currency}
        raise _Refused("currency", Message("{table}: must be three letters such as EUR, not “{it}”.", **named))
    sureness = shared.get("sureness", Sureness.MEMORY.value).lower()
    if sureness not in list(Sureness):
        known = ", ".join(Sureness)
        raise _Refused("sureness", Message("must be one of {known}, not “{it}”.", known=known, it=sureness))
    return Tariff(
        carrier=carrier,
        service=service,
        valid_from=start,
        valid_to=_day(shared, "valid_to"),
        currency=currency,
        prices=tuple(table.prices),
        zones=tuple(table.zones),
        surcharges=tuple(table.surcharges),
        source=shared.get("source", ""),
        sureness=Sureness(sureness),
        as_of=_day(shared, "as_of"),
        note=shared.get("note", ""),
    )


def _text(row: Mapping[str, str], column: str) -> str:
    text = row.get(column, "")
    if not text:
        raise _Refused(column, Message("is needed, it is empty."))
    return text


def _number(row: Mapping[str, str], column: str, *, zero: bool = False) -> Decimal:
    text = row.get(column, "")
    try:
        number = Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise _Refused(column, Message("must be a number, not “{text}”.", text=text)) from None
    if not number.is_finite() or number < 0 or (number == 0 and not zero):
        sentence = "must be zero or more, not {text}." if zero else "must be more than zero, not {text}."
        raise _Refused(column, Message(sentence, text=text))
    return number


def _day(row: Mapping[str, str], column: str, *, needed: bool = False) -> dt.date | None:
    text = row.get(column, "")
    if not text and not needed:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise _Refused(column, Message("must be a day such as 2026-07-12, not “{text}”.", text=text)) from None


def _head(one: Tariff) -> dict[str, str]:
    return {
        "carrier": one.carrier,
        "service": one.service,
        "valid_from": one.valid_from.isoformat(),
        "valid_to": one.valid_to.isoformat() if one.valid_to else "",
        "currency": one.currency,
        "source": one.source,
        "sureness": one.sureness.value,
        "as_of": one.as_of.isoformat() if one.as_of else "",
        "note": one.note,
    }


def _rows(one: Tariff) -> Iterator[dict[str, str]]:
    for zone in one.zones:
        codes = zone.first if zone.first == zone.last else f"{zone.first}..{zone.last}"
        yield {"row": RowKind.ZONE.value, "zone": zone.zone, "country": zone.country, "postcodes": codes}
    for row in one.prices:
        yield {
            "row": RowKind.PRICE.value,
            "zone": row.zone,
            "above": str(row.above),
            "up_to": str(row.up_to),
            "price": str(row.price),
        }
    for surcharge in one.surcharges:
        yield {"row": RowKind.SURCHARGE.value, "surcharge": surcharge.name, "price": str(surcharge.price)}
