"""Issuing: the number is taken in the transaction that keeps the bytes, so none is ever missing.

A page is made with the next number before the book is held for writing. Inside the transaction the
last batch, the number and the day are compared: if one of them moved, nothing is written and the
page is made anew.
"""

from dataclasses import dataclass
from datetime import date

from ledger.documents.issued import local_day, next_number, series_for
from ledger.domain.defaults import SETTINGS
from ledger.domain.documents import NumberSeries, retained_until
from ledger.store.batches import Batch
from ledger.store.book import Book, Stamp
from ledger.store.contents import Content, keep_content


@dataclass(frozen=True)
class About:
    """What a document is of: its kind, job and change, or its days, and what it is signed for.

    Of an invoice the claim that it bills, when it is due and in which currency; of a credit note
    the invoice that it credits; of a request for a decision the day it is needed by, `due_on`.
    `particulars` is JSON: what was typed with an invoice, or what is `Stated` by other kinds.
    """

    kind: str
    job: str
    change: str | None = None
    revision: int | None = None
    day_from: date | None = None
    day_to: date | None = None
    mark: str | None = None
    claim: int | None = None
    credits: str | None = None
    due_on: date | None = None
    currency: str | None = None
    particulars: str | None = None


@dataclass(frozen=True)
class Slot:
    """The place that a document is made for: the stamp before it, its number and its day."""

    stamp: Stamp
    series: NumberSeries
    number: int
    issued_on: date

    @property
    def name(self) -> str:
        """The number as it is printed."""
        return self.series.name(self.number)


@dataclass(frozen=True)
class Made:
    """A page as it was made: the digest of its content, its bytes and what kind of file it is."""

    content_digest: str
    data: bytes
    media_type: str


def slot(book: Book, about: About, issued_on: date) -> Slot:
    """Return the place that a document of a kind would take now."""
    series = series_for(book, about.kind, about.job)
    return Slot(book.stamp(), series, next_number(book, series), issued_on)


def has_moved(batch: Batch, about: About, place: Slot, dated: date | None = None) -> bool:
    """Whether anything was recorded, or a day has passed, since a place was taken.

    What is `dated` keeps its day.
    """
    book = batch.book
    if batch.sequence - 1 != place.stamp.sequence:
        return True
    on = dated or local_day(book, batch.recorded_at)
    now = slot(book.known_by(place.stamp.sequence), about, on)
    return now != place


def write_document(
    batch: Batch, about: About, place: Slot, made: Made, prepared_by: str | None
) -> None:
    """Add a document with its bytes, at the place that it was made for."""
    years = int(batch.book.setting("yard.retain_until", SETTINGS["yard.retain_until"]))
    batch.append_row(
        "document",
        {
            **vars(about),
            "series": place.series.prefix,
            "number": place.number,
            "document": place.name,
            "issued_on": place.issued_on,
            "prepared_by": prepared_by,
            "known_at": place.stamp.sequence,
            "content_digest": made.content_digest,
            "sha256": keep_content(batch, Content(made.data, made.media_type)),
            "retain_until": retained_until(place.issued_on, years),
        },
    )
