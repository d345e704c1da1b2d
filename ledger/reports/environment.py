"""The one environment of all templates: a sandbox that reads no file and no clock.

What it cannot stop: loops inside loops over what was made already, and one filter or method that
makes a very long text.
"""

import base64
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any

from ledger.language import _ as translated
from ledger.language import spoken_tag
from ledger.reports.figures import number_text
from ledger.reports.sorting import ranks
from ledger.reports.tables import Cell, Chart, Column, Row

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment
    from markupsafe import Markup

Load = Callable[[str], tuple[str, str, None] | None]

ISO_DATE = re.compile("([0-9]{4}-[0-9]{2}-[0-9]{2})")
# Filters that write unescaped, and one whose result is another each time.
NO_FILTER = {"safe", "tojson", "random"}
NO_GLOBAL = {"lipsum"}  # Its words are another each time.
OF_A_DATE = {"year", "month", "day", "isoformat", "weekday", "isoweekday", "isocalendar"}
OF_AN_INSTANT = OF_A_DATE | {"hour", "minute", "second", "date"}
KEPT_TEMPLATES = 200  # Packaged ones are some thirty.


def environment(load: Load) -> "Environment":
    """Return the environment for templates that `load` gives by name: text, place and None."""
    from jinja2 import FunctionLoader, StrictUndefined

    made = sandbox()(
        loader=FunctionLoader(load),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=compiled(),
    )
    made.filters = {name: made.filters[name] for name in made.filters if name not in NO_FILTER}
    made.globals = {name: made.globals[name] for name in made.globals if name not in NO_GLOBAL}
    made.globals |= {"_": translated, "language": spoken_tag()}
    made.filters |= {"cell": cell_text, "dates_apart": dates_apart}
    made.filters |= {"drawing": drawing, "data_address": data_address, "ranks": ranks}
    return made


@cache
def compiled() -> "BytecodeCache":
    """Return what keeps templates compiled while the program runs, by name, place and text."""
    from jinja2.bccache import Bucket, BytecodeCache

    class Compiled(BytecodeCache):
        def __init__(self) -> None:
            self.code: dict[tuple[str, str], Any] = {}

        def load_bytecode(self, bucket: Bucket) -> None:
            bucket.code = self.code.get((bucket.key, bucket.checksum))

        def dump_bytecode(self, bucket: Bucket) -> None:
            if len(self.code) >= KEPT_TEMPLATES:
                self.code.clear()
            self.code[bucket.key, bucket.checksum] = bucket.code

    return Compiled()


@cache
def sandbox() -> "type[Environment]":
    """Return the class of the environment; it is made here so that jinja2 is imported late."""
    from jinja2.exceptions import SecurityError
    from jinja2.runtime import Context
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    class Sandbox(ImmutableSandboxedEnvironment):
        intercepted_binops = frozenset({"*", "**", "%"})

        def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
            """A date tells its parts; it neither reads the clock nor this machine's zone."""
            if isinstance(obj, date):
                return attr in (OF_AN_INSTANT if isinstance(obj, datetime) else OF_A_DATE)
            return super().is_safe_attribute(obj, attr, value)

        def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
            """Only numbers are multiplied, so that no text is made many times as long."""
            numbers = isinstance(left, int | Decimal) and isinstance(right, int | Decimal)
            if operator == "**" or not numbers:
                raise SecurityError(f'"{operator}" cannot be used here')
            return super().call_binop(context, operator, left, right)

    return Sandbox


def data_address(chart: Chart) -> str:
    """Return a chart's drawing as an address that holds it."""
    encoded = base64.b64encode(chart.svg.encode("utf-8")).decode("ascii")
    return f"data:image/svg+xml;base64,{encoded}"


def drawing(chart: Chart) -> "Markup":
    """Return a chart's drawing as it stands in a page; no template can make a chart of a text."""
    from markupsafe import Markup

    if not isinstance(chart, Chart):
        raise TypeError("only a chart is a drawing")
    hidden = chart.svg.replace("<svg ", '<svg aria-hidden="true" ', 1)
    return Markup(chart.svg if chart.has_values else hidden)


def dates_apart(text: str) -> list[tuple[str, bool]]:
    """Return the text in parts, each with whether it is a date: some browsers break those."""
    pieces = ISO_DATE.split(text)
    return [(part, place % 2 == 1) for place, part in enumerate(pieces) if part]


def cell_text(cell: Cell, column: Column, row: Row) -> str:
    """Return the cell in words: numbers in groups, a step with its sign, dates as ISO 8601."""
    if cell is None:
        return column.missing
    if isinstance(cell, int | Decimal):
        return number_text(cell, signed=row.kind == "step")
    return cell.isoformat() if isinstance(cell, date) else cell
