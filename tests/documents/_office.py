"""An office with changes to write about: a rehearsal book of the sample's job."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from tests._stage import JOB, JOB_FILES, SAMPLE, YARD_FILES
from tests.conftest import Outcome, Yard, book_made_by

BEGUN = datetime(2026, 4, 1, 8, tzinfo=UTC)
READY = datetime(2026, 4, 2, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
CHANGES = (
    "change,title,requested_by,requested_on,change_basis,origin,description,decision_needed_by\n"
    "CR1,Ladder,Jonna Merrick,2026-03-09,fixed_price,owner,A ladder at the deep end.,\n"
    "CR2,Bench,Jonna Merrick,2026-03-16,fixed_price,owner,A bench on brackets.,2026-04-20\n"
    "CR3,Boulder,Ada Brunt,2026-03-20,fixed_price,unforeseen_condition,A boulder lies there.,\n"
    "DW1,Rail,Jonna Merrick,2026-03-02,daywork,owner,A rail as the club shows it.,\n"
)
LINES = (
    "change,price_kind,description,trade,hours,quantity,unit,unit_price,work_package,owner_text\n"
    "CR1,labour,Make and hang,carpenter,12,,,,,Without paint.\n"
    "CR1,material,Ash rail,,,10,m,25.00,,\n"
    "CR1,labour,No plugs,carpenter,-10,,,,DECK,\n"
    "CR2,labour,Bench,carpenter,8,,,,,Brackets by the club.\n"
    "CR3,labour,Move it,labourer,6,,,,,\n"
    "DW1,labour,Rail,carpenter,4,,,,,\n"
)
EVENTS = (
    "change,event,date,person,reference,valid_until,days_requested\n"
    "CR1,submitted,2026-03-12,Ada Brunt,letter 1,,2\n"
    "CR1,approved,2026-03-16,Jonna Merrick,letter of 16 March,,\n"
    "CR2,instructed,2026-03-17,Jonna Merrick,word on site,,\n"
    "CR2,priced,2026-03-18,Ada Brunt,,,\n"
    "CR3,priced,2026-03-21,Ada Brunt,,,\n"
    "DW1,instructed,2026-03-03,Jonna Merrick,word on site,,\n"
)
HOURS = (
    "worker_id,date,hours,booking_code,note\n"
    "A1,2026-03-10,5,DW1,in the cold\nB2,2026-03-10,3,DW1,\nA1,2026-03-11,2,DW1,\n"
)
ITEMS = (
    "change,date,cost_kind,description,quantity,unit,unit_cost,reference\n"
    "DW1,2026-03-10,material,Oak,2,m,55.50,\n"
)


class Office(Yard):
    """A yard whose clock moves on a minute with each command that may write."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.now = READY

    def at(self, *words: object, ok: bool = True) -> Outcome:
        """Run a command a minute after the one before."""
        self.now += MINUTE
        return self.run("--recorded-at", self.now.isoformat(), *words, ok=ok)

    def issue(self, kind: str, change: str, *words: object, ok: bool = True) -> Outcome:
        """Issue a document as an HTML page beside the book."""
        out = self.folder / f"{kind}-{change}.html"
        return self.at("issue", kind, "--job", JOB, change, "--out", out, *words, ok=ok)

    def load(self, thing: str, text: str, *, ok: bool = True) -> Outcome:
        """Load a file of the job."""
        path = self.write(f"{thing}.csv", text)
        return self.at("load", thing, "--job", JOB, path, ok=ok)

    def page(self, kind: str, change: str) -> str:
        """Return the text of a page issued before."""
        return (self.folder / f"{kind}-{change}.html").read_text(encoding="utf-8")

    def numbers(self) -> list[str]:
        """Return the numbers of the documents issued."""
        return [row["document"] for row in self.documents()]

    def documents(self) -> Any:
        return self.json("documents")["documents"]


def fill(yard: Yard) -> None:
    """Make a book with changes, prices, an instruction, and daywork done."""
    office = Office(yard.folder)
    office.now = BEGUN
    office.at("new", "--rehearsal")
    for thing, name in YARD_FILES:
        office.at("load", thing, SAMPLE / name)
    for thing, name in JOB_FILES:
        office.at("load", thing, "--job", JOB, SAMPLE / name)
    office.at("load", "charge-rates", "--job", JOB, SAMPLE / "charge-rates.csv")
    office.at("freeze", "--job", JOB, "--on", "2026-02-23")
    texts = {"changes": CHANGES, "change-lines": LINES, "change-events": EVENTS}
    for thing, text in (texts | {"sheets": HOURS, "daywork-items": ITEMS}).items():
        office.load(thing, text)


def office_in(folder: Path) -> Office:
    """Return an office with a book of its own, made once."""
    office = Office(folder)
    office.book.write_bytes(book_made_by(fill))
    return office


def copied_office(office: Office, folder: Path) -> Office:
    """Return an office with a copy of the book of another, at its hour."""
    other = Office(folder)
    shutil.copyfile(office.book, other.book)
    other.now = office.now
    return other
