"""What each booking code means: the temporary table `staged_code`."""

from ledger.store.book import Book


def stage_codes(book: Book) -> None:
    """Stage the codes that the book knows, of all jobs and of no job."""
    book.stage_once("code", "jobs/codes_known")
