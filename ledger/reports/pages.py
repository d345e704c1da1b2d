"""Pages from templates: HTML that needs nothing from elsewhere, and tagged PDF from the same."""

import base64
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from ledger.errors import Refused
from ledger.reports.figures import number_text
from ledger.reports.tables import Cell, Column, Page, Print, Row
from ledger.resources import root

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

ISO_DATE = re.compile("([0-9]{4}-[0-9]{2}-[0-9]{2})")
FONTS = {"regular": "SourceSansPro-Regular.otf", "semibold": "SourceSansPro-Semibold.otf"}


def html(page: Page, template: str, out: Print) -> str:
    """Return the page as one HTML file that carries its style and its font."""
    fonts = {weight: font_base64(name) for weight, name in FONTS.items()}
    return environment().get_template(template).render(page=page, out=out, fonts=fonts)


def pdf(page: Page, template: str, out: Print) -> bytes:
    """Return the page as PDF/UA-1; the same page and instant give the same bytes.

    Raises: Refused when the page asks for anything that is not inside it.
    """
    text = html(page, template, replace(out, medium="paper"))
    with source_date(out.instant):
        from weasyprint import HTML
        from weasyprint.urls import FatalURLFetchingError

        try:
            made = HTML(string=text, url_fetcher=only_data).write_pdf(pdf_variant="pdf/ua-1")
        except FatalURLFetchingError as error:
            raise Refused(str(error)) from None
    assert isinstance(made, bytes)
    return made


@contextmanager
def source_date(instant: datetime) -> Iterator[None]:
    """Give the libraries the instant of the record in place of the clock's."""
    name = "SOURCE_DATE_EPOCH"
    before = os.environ.get(name)
    os.environ[name] = str(int(instant.timestamp()))
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


def only_data(url: str) -> Any:
    """Return what a data: address holds; the making stops at any other, and nothing is fetched."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher

    if not url[:5].lower() == "data:":
        raise FatalURLFetchingError(f"a page may hold data: addresses only, not {url[:200]}")
    return URLFetcher(allowed_protocols=("data",)).fetch(url)


@cache
def environment() -> "Environment":
    """Return the one environment of all templates."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    made = Environment(
        loader=FunctionLoader(template_text),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["cell"] = cell_text
    made.filters["dates_apart"] = dates_apart
    made.filters["data_address"] = data_address
    made.filters["drawing"] = drawing
    return made


def template_text(name: str) -> str | None:
    """Return the packaged template of that name, None when there is none."""
    place = root("templates").joinpath(*name.split("/"))
    return place.read_text(encoding="utf-8") if place.is_file() else None


@cache
def font_base64(name: str) -> str:
    place = files("font_source_sans_pro").joinpath("files", name)
    return base64.b64encode(place.read_bytes()).decode("ascii")


def data_address(svg: str) -> str:
    """Return a drawing as an address that holds it."""
    encoded = base64.b64encode(svg.encode("utf-8")).decode("ascii")
    return f"data:image/svg+xml;base64,{encoded}"


def drawing(svg: str) -> "Markup":
    """Return a drawing of our own to stand in a page, hidden from readers of its words."""
    from markupsafe import Markup

    return Markup(svg.replace("<svg ", '<svg aria-hidden="true" ', 1))


def dates_apart(text: str) -> list[tuple[str, bool]]:
    """Return the text in parts, each with whether it is a date: some browsers break those."""
    parts = ISO_DATE.split(text)
    return [(part, place % 2 == 1) for place, part in enumerate(parts) if part]


def cell_text(cell: Cell, column: Column, row: Row) -> str:
    """Return the cell in words: numbers in groups, a step with its sign, dates as ISO 8601."""
    if cell is None:
        return column.missing
    if isinstance(cell, int | Decimal):
        return number_text(cell, signed=row.kind == "step")
    return cell.isoformat() if isinstance(cell, date) else cell
