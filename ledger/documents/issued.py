"""Documents as issued: found by number, their bytes, and the number that comes next."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from ledger.domain.codes import code_of
from ledger.domain.defaults import SETTINGS
from ledger.domain.documents import NumberSeries, series_of
from ledger.errors import Refused, Remedy
from ledger.outcomes import Outcome
from ledger.store.book import Book

# The endings of the files that a document is kept as.
ENDINGS = {"application/pdf": ".pdf", "text/html": ".html", "application/xml": ".xml"}
MEDIA_TYPES = {ending.removeprefix("."): kind for kind, ending in ENDINGS.items()}


@dataclass(frozen=True)
class Document(Outcome):
    """One document as it was issued; `document` is its number as printed."""

    id: str
    kind: str
    job: str
    change: str | None
    revision: int | None
    day_from: date | None
    day_to: date | None
    mark: str | None
    series: str
    number: int
    document: str
    issued_on: date
    prepared_by: str | None
    known_at: int
    content_digest: str
    sha256: str | None
    retain_until: date
    claim: int | None
    credits: str | None
    due_on: date | None
    particulars: str | None
    media_type: str | None
    byte_count: int | None


def documents(book: Book) -> list[Document]:
    """Return the documents issued, in the order they were."""
    return [Document(**row) for row in book.records("documents/documents_known")]


def document_named(book: Book, named: str) -> Document:
    """Return the document of a number, in any case. Raises: Refused when there is none."""
    document = document_if_any(book, named)
    if document is None:
        raise Refused("document_unknown", document=named, remedy=Remedy("documents"))
    return document


def document_if_any(book: Book, named: str) -> Document | None:
    """Return the document of a number, in any case; None where there is none."""
    wanted = code_of(named)
    return next((each for each in documents(book) if code_of(each.document) == wanted), None)


def document_bytes(book: Book, document: Document) -> bytes:
    """Return a document as it was issued. Raises: Refused when it was erased since."""
    rows = book.rows("documents/document_bytes", document=document.document)
    data: bytes | None = rows[0][1]
    if data is None:
        raise Refused("document_erased", document=document.document)
    return bytes(data)


def series_for(book: Book, kind: str, job: str) -> NumberSeries:
    """Return the series of a kind for a job: by the job's own form, else the yard's."""
    usual = book.setting(f"number_series.{kind}", SETTINGS[f"number_series.{kind}"])
    return series_of(book.setting(f"number_series.{job}.{kind}", usual), job)


def next_number(book: Book, series: NumberSeries) -> int:
    """Return the number that the next document of a series takes."""
    last: int = book.rows("documents/last_number", series=series.prefix)[0][0]
    return last + 1


def last_issued_on(book: Book, series: NumberSeries) -> date | None:
    """Return the day of the last document of a series, None before the first."""
    days: list[date] = [each.issued_on for each in documents(book) if each.series == series.prefix]
    return max(days, default=None)


def reply_days(book: Book, kind: str, job: str) -> int | None:
    """Return the calendar days that the contract gives for a reply; None where it sets none."""
    days = book.setting(f"reply_limits.{job}.{kind}", book.setting(f"reply_limits.{kind}", ""))
    return int(days) if days else None


def local_day(book: Book, instant: datetime) -> date:
    """Return the day of an instant in the yard's zone."""
    zone = ZoneInfo(book.setting("yard.zone", "UTC"))
    moment = instant if instant.tzinfo else instant.replace(tzinfo=UTC)
    return moment.astimezone(zone).date()


def last_day(book: Book) -> date:
    """Return the day on which the last batch that counts was recorded, in the yard's zone."""
    return local_day(book, book.stamp().recorded_at)
