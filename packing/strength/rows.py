"""Tables of rules for board grades as rows of plain values, one a line of a table."""

from decimal import Decimal
from typing import Any

from packing.strength.defaults import (
    Source,
    Tables,
)
from packing.strength.kinds import TableKind
from packing.strength.parse import Row


def _row(kind: TableKind, source: Source, **values: Any) -> Row:
    where = {"source": source.name, "year": source.year, "sureness": source.sureness.value}
    return {"kind": kind.value, **values, **where}


def table_rows(tables: Tables) -> list[Row]:
    """Tables as rows of plain values, one a line; `read_tables` gives them back.

    Parameters
    ----------
    tables
        The published ones, or a shop's.

    Returns
    -------
    list of dict
        Values that a kind does not have are left out; `factor` is a Decimal.
    """
    return [
        *(
            _row(
                TableKind.POSTAL,
                line.source,
                easy_lb=line.easy_lb,
                weight_lb=line.difficult_lb,
                size_in=line.max_length_girth_in,
                burst_psi=line.burst_psi,
            )
            for line in tables.postal
        ),
        *(
            _row(TableKind.DENSE, line.source, weight_lb=line.up_to_lb, burst_psi=line.burst_psi)
            for line in tables.dense
        ),
        _row(
            TableKind.DENSITY,
            tables.density.source,
            weight_lb=tables.density.above_lb,
            limit_lb_ft2=tables.density.limit_lb_ft2,
        ),
        *(
            _row(
                TableKind.FREIGHT,
                line.source,
                wall=line.wall,
                weight_lb=line.max_lb,
                size_in=line.max_united_in,
                burst_psi=line.burst_psi,
                facings_lb=line.facings_lb,
                ect_lb_in=line.ect_lb_in,
            )
            for line in tables.freight
        ),
        *(
            _row(kind, line.source, up_to=line.up_to, factor=Decimal(line.factor.numerator) / line.factor.denominator)
            for kind, lines in ((TableKind.DAYS, tables.days), (TableKind.HUMIDITY, tables.humidity))
            for line in lines
        ),
    ]
