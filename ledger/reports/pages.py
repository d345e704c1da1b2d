"""Pages from templates: HTML that needs nothing from elsewhere, and tagged PDF from the same."""

import ctypes.util
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from traceback import extract_tb
from typing import TYPE_CHECKING, Any

from ledger.collecting import rare_collection
from ledger.errors import Refused
from ledger.progress import SILENT, Progress
from ledger.reports.environment import environment
from ledger.reports.following import followed
from ledger.reports.fonts import fonts_for
from ledger.reports.page_numbers import COUNTER, STYLE, are_numbered, held_open
from ledger.reports.page_reading import read_html, read_packaged
from ledger.reports.safe_page import complaint, policy_of
from ledger.reports.tables import Page, Print
from ledger.reports.templates import Template, Templates
from ledger.resources import root

if TYPE_CHECKING:
    from markupsafe import Markup

CONTENT_NAME = "content.json"
CONTENT_IS = "The content of these pages; its SHA-256 is the digest printed"
PAGE_LENGTH = 50_000_000  # A statement of 300 requests, fonts in it, has under two million.
# The measures that every page is made of: all of them, one, and where one is named.
ROOT = re.compile(r":root \{.*?\}", re.DOTALL)
MEASURE = re.compile(r"(--[a-z0-9-]+): ([^;]+);")
NAMED = re.compile(r"var\((--[a-z0-9-]+)\)")
# What a template can bring about that is no error of Jinja's own.
FAILURES = (ArithmeticError, AttributeError, LookupError, RecursionError, TypeError, ValueError)
TYPES = "ledger.reports.tables."  # Says nothing to somebody who writes a template.


@dataclass(frozen=True)
class Script:
    """A packaged script as it stands in a page, and the policy that lets it and no other run."""

    text: "Markup"
    policy: "Markup"


def packaged_script(name: str) -> Script:
    """Return the packaged script of that name; a yard's folder of templates is not looked at."""
    from markupsafe import Markup

    text = root("templates").joinpath(name).read_text(encoding="utf-8")
    assert "</script" not in text, "it would end before its end"
    assert "<!--" not in text, "it would not end at its end"
    return Script(Markup(text), Markup(policy_of(text)))


def html(page: Page, templates: Templates, out: Print, script: str = "") -> str:
    """Return the page as one HTML file that carries its style and its fonts.

    `script` names a packaged script; a page with templates of a yard's own has none.

    Raises: Refused when a yard's own template fails or would make a page that runs or loads.
    """
    words = (repr(page), *(each.text for each in templates.own))
    carried = packaged_script(script) if script and not templates.own else None
    context = {"page": page, "out": out, "fonts": fonts_for(words), "script": carried}
    if not templates.own:
        text = "".join(rendered(templates, context))
        if carried and (fault := complaint(text, carried.text)):
            raise AssertionError(f"a packaged page: {fault}")
        return text
    with blamed(templates):
        text = "".join(rendered(templates, context))
        fault = complaint(text)
    if fault:
        raise Refused("page_unsafe", folder=Path(templates.own[0].place).parent, found=fault)
    return text


def rendered(templates: Templates, context: dict[str, Any]) -> Iterator[str]:
    """Yield the page piece by piece. Raises: OverflowError when it goes on and on."""
    length = 0
    for piece in environment(templates.load).get_template(templates.first).generate(context):
        length += len(piece)
        if length > PAGE_LENGTH:
            raise OverflowError(f"the page is longer than {PAGE_LENGTH} characters")
        yield piece


@contextmanager
def blamed(templates: Templates) -> Iterator[None]:
    """Say a failure of own templates in one message that names the file and the line."""
    from jinja2 import TemplateError, TemplateSyntaxError

    try:
        yield
    except TemplateSyntaxError as error:
        template = templates.by_name[error.name or templates.first]
        raise template.fault(error.lineno, error.message or "cannot be read") from None
    except (TemplateError, *FAILURES) as error:
        template, line = place_of(error, templates)
        kind = "" if isinstance(error, TemplateError) else f"{type(error).__name__}: "
        raise template.fault(line, kind + str(error).replace(TYPES, "")) from None


def place_of(error: Exception, templates: Templates) -> tuple[Template, int]:
    """Return the own template and its line that were at work when it failed."""
    own = {template.place: template for template in templates.own}
    lines = [(frame.filename, frame.lineno) for frame in extract_tb(error.__traceback__)]
    at_work = [(own[place], line or 1) for place, line in lines if place in own]
    return at_work[-1] if at_work else (templates.own[0], 1)


def pdf(
    page: Page,
    templates: Templates,
    out: Print,
    content: bytes,
    progress: Progress = SILENT,
) -> bytes:
    """Return the page as PDF; the same page, instant and content give the same bytes.

    `content` is the canonical JSON behind the page. It is attached as content.json where the
    variant allows that: PDF/A-2 (ISO 19005-2) admits no files but PDF/A. `progress` is told how far
    it is.

    Raises: Refused when the page asks for anything that is not inside it.
    """
    text = html(page, templates, replace(out, medium="paper"))
    enclosed = Enclosed(CONTENT_NAME, content, CONTENT_IS, "Source")
    files = [enclosed] if may_hold_files(out.pdf_variant) else []
    return printed(text, out, files, progress=progress)


@dataclass(frozen=True)
class Enclosed:
    """A file that lies in a PDF; `relationship` is what it is to the pages (ISO 19005-3, 6.8)."""

    name: str
    content: bytes
    description: str
    relationship: str


def printed(
    text: str,
    out: Print,
    files: Sequence[Enclosed],
    finisher: Callable[[Any, Any], None] | None = None,
    progress: Progress = SILENT,
) -> bytes:
    """Return a page of HTML as PDF with files in it, all dated by the record's instant.

    `finisher` is given the file before it is written, unpacked, and may change it.

    Raises: Refused when the page asks for anything that is not inside it.
    """
    with source_date(out.instant), rare_collection(), followed(progress):
        with known_libraries():
            from weasyprint import Attachment
        from weasyprint.urls import FatalURLFetchingError

        attachments = [
            Attachment(
                string=file.content,
                name=file.name,
                description=file.description,
                created=out.instant,
                modified=out.instant,
                relationship=file.relationship,
                url_fetcher=only_data,
            )
            for file in files
        ]
        try:
            with fonts_of_its_own() as fonts:
                made = laid_out(text, out, fonts).write_pdf(
                    pdf_variant=out.pdf_variant,
                    attachments=attachments,
                    finisher=finisher or plain_metadata,
                    uncompressed_pdf=finisher is not None,
                )
        except FatalURLFetchingError as error:
            raise Refused("page_reaches_out", said=str(error)) from None
    assert isinstance(made, bytes)
    return made


@contextmanager
def fonts_of_its_own() -> Iterator[Any]:
    """Give what holds the fonts of a page, and take its folder away when the page is made.

    The library does so when it lets the page go. A page's parts name one another, so it stays until
    Python looks for garbage, which a command does not do.
    """
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    try:
        yield fonts
    finally:
        fonts.__del__()


def laid_out(text: str, out: Print, fonts: Any) -> Any:
    """Return the pages made, with the number of each page that a link names."""
    read = read_html if out.own_templates else read_packaged

    def made(text: str) -> Any:
        page = read(text, only_data)
        return page.render(font_config=fonts, pdf_variant=out.pdf_variant)

    if not out.own_templates:
        text = with_measures(text)
    if COUNTER in text and 'href="#' in text and not out.own_templates:
        document = made(held_open(text))
        if are_numbered(document):
            return document
    return made(text)


def with_measures(text: str) -> str:
    """Return a packaged page with the measures of `tokens.css` written where its style names them.

    The library works out each name anew for every style that an element, or one in it, has.
    """
    if not (style := STYLE.search(text)) or not (root := ROOT.search(style[0])):
        return text
    measures = dict(MEASURE.findall(root[0]))
    written = NAMED.sub(lambda name: measures[name[1]], style[0])
    return text[: style.start()] + written + text[style.end() :]


@contextmanager
def known_libraries() -> Iterator[None]:
    """Let libraries be loaded on Linux by the names that its loader knows, without a search.

    Each is tried by the names of other systems first, and a search for those asks ldconfig, gcc and
    ld: some fifty processes to find nothing.
    """
    search = ctypes.util.find_library
    if sys.platform == "linux":
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = search


def plain_metadata(_: Any, file: Any) -> None:
    """Leave the metadata of the PDF readable without unpacking, as archives ask."""
    for part in file.objects:
        if getattr(part, "extra", {}).get("Type") == "/Metadata":
            part.compress = False


def may_hold_files(pdf_variant: str) -> bool:
    return not pdf_variant.startswith("pdf/a-2")


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
