"""What the book knows that lines are read by: `staged_code` and `staged_crew_known`."""

from ledger.store.book import Book


def stage_codes(book: Book) -> None:
    """Stage what each booking code means, of all jobs and of no job."""
    book.stage_once("code", "jobs/codes_known")


def stage_crew(book: Book) -> None:
    """Stage the crew, with the days that each is active."""
    book.stage_once("crew_known", "sheets/crew_known")
