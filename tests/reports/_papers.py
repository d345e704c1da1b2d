"""What the papers of a change say of its days."""

from collections.abc import Iterator
from datetime import date

from ledger.errors import Refused
from ledger.reports.owner.build import build
from ledger.reports.owner.document_build import build_document
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.owner.document_pages import document_page
from ledger.reports.owner.page import owner_page
from ledger.store.book import Book

PAPERS = ("quotation", "variation_order", "decision_request")


def on_statement(book: Book, job: str, day: date) -> dict[str, str]:
    """Return what the statement of a day says of the days of each change."""
    sheets = owner_page(build(book, job, day)).sheets
    return {
        sheet.code: fact.value for sheet in sheets for fact in sheet.facts if fact.label == "Days"
    }


def on_papers(book: Book, job: str, change: str, day: date) -> Iterator[str]:
    """Yield what each paper that can be made of a change on a day says of its days."""
    for kind in PAPERS:
        try:
            view, _ = build_document(book, DocumentWanted(kind, job, change, day))
        except Refused:
            continue
        facts = document_page(view).figures
        yield from (f"{fact.value}, {fact.remark}" for fact in facts if fact.label == "Time")


def counted(words: str) -> int | None:
    """Return the days that words on a paper come to; None where they leave them open."""
    first = words.split()[0]
    if first.isdigit() and "not decided" not in words:
        return int(first)
    return 0 if first in {"No", "none"} else None
