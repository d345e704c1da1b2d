"""Likely places of what is left to tag, from what is tagged: read, never posted.

What speaks for a place is counted in the database; here only the different texts are compared, each
once. All points are whole: weights are points of 100, shares thousandths.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from ledger.sheets.left_to_tag import Rows, stage_left
from ledger.store.book import Book

# The points of 100 that each kind of evidence gives at most; a code is beside them, and all
# together give no more than 100.
WEIGHTS = {
    "note": 35,
    "code": 20,
    "week": 20,
    "beside": 10,
    "crew": 10,
    "day": 15,
    "trade": 5,
    "dates": 5,
}
# Texts count from this likeness on; codes are short, and have to be more alike.
ALIKE, CODES_ALIKE = 70, 75
# So many of the notes most like one are looked at, and so many places shown from so many points on.
NOTES, PLACES, LEAST = 20, 3, 20

# Kind, text, the other text, and of a title or code the place it is of; how alike in points of 100.
Alike = tuple[str, str, str | None, str | None, str | None, int]


def suggested(book: Book, job: str | None, *, by_day: bool = False) -> Rows:
    """Return up to three places for what is left to tag by worker, week or day, code and note."""
    stage_left(book, job)
    stage_spots(book)
    return ranked(book, by_day=by_day)


def first_of_days(book: Book, job: str | None) -> dict[tuple[object, ...], str]:
    """Return the likeliest place and its score, by worker, day, code and note of what is left."""
    likeliest: dict[tuple[object, ...], str] = {}
    rows = [row for row in suggested(book, job, by_day=True) if row["rank"] == 1]
    for row in sorted(rows, key=lambda row: -row["score"]):
        key = (row["worker_id"], row["from_day"], row["code"], row["note"])
        likeliest.setdefault(key, f"{place_of(row)} ({row['score']})")
    return likeliest


def place_of(row: Mapping[str, Any]) -> str:
    """Return a suggested place as it is named."""
    return " ".join(filter(None, (row["place_job"], row["booked_to"], row["cause"])))


def stage_spots(book: Book) -> None:
    """Stage what is left to tag, as `staged_left` has it, and all other time as evidence."""
    book.stage("spot", "sheets/spots_to_tag")
    book.stage("tagged_time", "sheets/tagged_time")
    book.stage("place_titled", "sheets/places_titled")


def ranked(book: Book, *, by_day: bool) -> Rows:
    """Return the likeliest places of the staged spots, with what speaks for each."""
    _stage_alike(book)
    limits = {"least": LEAST, "most": PLACES}
    weights = list(WEIGHTS.values())
    return book.records("sheets/places_suggested", by_day=by_day, weights=weights, **limits)


def _stage_alike(book: Book) -> None:
    texts: dict[str, list[str]] = defaultdict(list)
    for kind, text in book.rows("sheets/texts_to_liken"):
        texts[kind].append(text)
    titled = [(row[0], row[1], row[2]) for row in book.rows("sheets/places_titled")]
    alike = [
        *_notes_alike(texts["note"], texts["tagged"]),
        *_titles_alike(texts["note"], titled),
        *_codes_alike(texts["code"], titled),
    ]
    names = ("kinds", "texts", "others", "jobs", "places", "points")
    columns = {name: [row[at] for row in alike] for at, name in enumerate(names)}
    book.stage("text_alike", "sheets/texts_alike", **columns)


def _notes_alike(notes: Iterable[str], tagged: Sequence[str]) -> Iterator[Alike]:
    from ledger.sheets.likeness import Texts

    known = Texts(tagged)
    for note in notes:
        for other, points in known.like(note, least=ALIKE, most=NOTES):
            yield "note", note, other, None, None, points


def _titles_alike(notes: Iterable[str], titled: Sequence[tuple[str, str, str]]) -> Iterator[Alike]:
    from ledger.sheets.likeness import containing

    for note in notes:
        for job, code, title in titled:
            if (points := containing(note, title)) >= ALIKE:
                yield "title", note, None, job, code, points


def _codes_alike(codes: Iterable[str], titled: Sequence[tuple[str, str, str]]) -> Iterator[Alike]:
    from ledger.sheets.likeness import likeness, plain

    for code in codes:
        for job, other, _ in titled:
            if (points := likeness(plain(code), plain(other))) >= CODES_ALIKE:
                yield "code", code, None, job, other, points
