"""Regular expressions are the database's own (linear time)."""

from collections.abc import Sequence
from typing import NamedTuple

from ledger.errors import BookError
from ledger.store import queries
from ledger.store.book import Book

# So many conditions are asked in one look at the notes: they are one expression, of limited depth.
AT_ONCE = 100


class TextAsked(NamedTuple):
    """What a note is to contain, folded, and the regular expression that it is to match."""

    contains: str | None
    matches: str | None


def pattern_fault(book: Book, pattern: str) -> str | None:
    """Return what is wrong with a regular expression, None when it can be used."""
    try:
        tried = book.rows("store/pattern_tried", pattern=pattern)
    except BookError as error:
        return str(error.__cause__).rpartition(": ")[2]
    assert tried
    return None


def stage_notes_matched(
    book: Book, query: str, texts: Sequence[TextAsked], **inputs: object
) -> None:
    """Stage which of the notes that a query gives fit which texts: `staged_note_matched`.

    Each text is a constant of the statement, bound by the engine: it compiles a pattern once, where
    one that stands in a column is compiled anew for each note.
    """
    if not texts:
        columns = f"{queries.no_rows(query)}, note_contains VARCHAR, note_matches VARCHAR"
        book.execute(f"CREATE OR REPLACE TEMP TABLE staged_note_matched ({columns})")
        return
    query_inputs = book.inputs_of(query, inputs)
    for number, text in enumerate(texts):
        query_inputs |= {f"contains_{number}": text.contains, f"matches_{number}": text.matches}
    fits = [(number, _fits(number, text)) for number, text in enumerate(texts)]
    looks = [_look(query, fits[first : first + AT_ONCE]) for first in range(0, len(fits), AT_ONCE)]
    book.execute(
        f"CREATE OR REPLACE TEMP TABLE staged_note_matched AS {' UNION ALL '.join(looks)}",
        query_inputs,
    )


def _fits(number: int, text: TextAsked) -> str:
    asked = []
    if text.contains is not None:
        asked.append(f"contains(folded, $contains_{number})")
    if text.matches is not None:
        asked.append(f"regexp_matches(note, $matches_{number})")
    return " AND ".join(asked)


def _look(query: str, fits: Sequence[tuple[int, str]]) -> str:
    """Return the SELECT of the notes that fit any of some texts, a row for each text."""
    cases = ", ".join(
        f"CASE WHEN {fit} THEN {{'note_contains': $contains_{number}::VARCHAR,"
        f" 'note_matches': $matches_{number}::VARCHAR}} END"
        for number, fit in fits
    )
    return (
        "SELECT * EXCLUDE (fitting), fitting.note_contains, fitting.note_matches"
        f" FROM (SELECT * EXCLUDE (folded), unnest([{cases}]) AS fitting"
        f" FROM (SELECT *, word_of(note) AS folded FROM {queries.without_order(query)})"
        f" WHERE {' OR '.join(f'({fit})' for _, fit in fits)})"
        " WHERE fitting IS NOT NULL"
    )
