"""Where entries belong by hand, rules and codes: staged, and posted where nothing books them."""

from collections.abc import Iterable, Mapping
from typing import Any

from ledger.domain.shares import CREW_HOURS
from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.known_codes import stage_codes
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.patterns import TextAsked, stage_notes_matched

NO_TEXT = TextAsked(None, None)


def adds_entries(batch: Batch) -> bool:
    """Return whether a batch added entries: lines of sheets, or what is booked after them."""
    return any(batch.counts.get(table) for table in ("line", "entry"))


def stage_places(book: Book, *, stays: str = "no") -> None:
    """Stage the entries that stand, each placed where it belongs.

    Those that may move, or that stay (`yes`), or that stay for their closed period alone.
    """
    stage_codes(book)
    book.stage("entry_to_place", "sheets/entries_to_place", stays=stays)
    _stage_placed(book)


def has_rules(book: Book) -> bool:
    """Return whether any rule counts."""
    return bool(book.current("rule"))


def texts_asked(rules: Iterable[Mapping[str, Any]]) -> list[TextAsked]:
    """Return what rules ask of notes."""
    texts = {TextAsked(rule["note_contains"], rule["note_matches"]) for rule in rules}
    return sorted(texts - {NO_TEXT}, key=str)


def _stage_place(book: Book) -> None:
    """Stage where each combination of what decides is booked; without rules codes alone say it."""
    if has_rules(book):
        book.stage("place_by_code", "sheets/places_by_code")
        stage_notes_matched(book, "sheets/notes_to_place", texts_asked(book.current("rule")))
        book.stage("place", "sheets/places")
    else:
        book.stage("place", "sheets/places_by_code")


def stage_places_of_chosen(book: Book, *, shared: bool = False) -> None:
    """Stage the entries of `staged_entry_chosen`, each placed where it belongs.

    Those that are `shared` by what the crew booked are left out, or are there as their code says.
    """
    stage_codes(book)
    book.stage("entry_to_place", "sheets/entries_chosen_to_place")
    _stage_placed(book, shared=shared)


def _stage_placed(book: Book, *, shared: bool = False) -> None:
    _stage_place(book)
    book.stage("entry_placed", "sheets/entries_placed")
    if book.rows("sheets/hand_tags_there")[0][0]:
        book.stage("entry_placed", "sheets/entries_placed_by_hand")
    if not shared and share_rules(book):
        restage_placed(book, "sheets/entries_unshared")


def restage_placed(book: Book, query: str, **inputs: object) -> None:
    """Stage what a query gives in the place of the entries placed, and no others to be placed."""
    book.stage("entry_placed", query, **inputs)
    book.stage("entry_to_place", "sheets/entries_to_place_placed")


def share_rules(book: Book) -> list[dict[str, Any]]:
    """Return the rules that share hours out by what the crew booked."""
    return [rule for rule in book.current("rule") if rule["share_by"] == CREW_HOURS]


def stage_whats(book: Book) -> None:
    """Stage the ways in which the judged lines are held or booked, each with its place.

    The codes are staged: they are those that the lines were compared by.
    """
    if has_rules(book):
        book.stage("line_key", "sheets/lines_keyed")
    else:
        book.stage_none("line_key", "sheets/lines_keyed")
    book.stage("entry_to_place", "sheets/new_whats")
    _stage_place(book)
    book.stage("what", "sheets/whats_placed")


def post_split(book: Book, batch: Batch) -> None:
    """Post the new lines whose hours rules split over several places."""
    if batch.counts.get("what") and book.rows("sheets/whats_split", batch=batch.sequence)[0][0]:
        post_unplaced(book, batch)


def post_new(book: Book, batch: Batch) -> None:
    """Post the entries that the batch added after its lines to where they belong.

    For a batch that decides nothing about those before, and that has not posted its own.
    """
    if batch.counts.get("entry"):
        post_unplaced(book, batch)


def post_unplaced(book: Book, batch: Batch) -> None:
    """Post the entries of the batch that no posting books yet."""
    choose_entries(book, "sheets/entries_unplaced", batch=batch.sequence)
    stage_places_of_chosen(book)
    batch.append_query("posting", "sheets/postings_first", after=batch.last_row("posting"))
