"""Refusals as a Python user reads them: a sentence in place of kind and fields."""

from collections.abc import Iterator
from contextlib import contextmanager

from ledger.errors import FairhoursError, Faults
from ledger.outcomes import Reason

# Sentences of what frames are refused for most; what a command would be advised is left out.
SENTENCES = {
    "job_unknown": "there is no job {job} in the book",
    "job_not_frozen": "the estimate of job {job} is not frozen yet, so nothing is measured",
    "status_date_missing": (
        "no week of job {job} has both an entry and a measurement; give a status_date"
    ),
    "word_unknown": "{given} is unknown as {option}; use one of {words}",
    "book_missing": "there is no book at {book}",
    "book_held": "the book {book} is in use by another process",
    "book_held_by": "the book {book} is in use by {actor}",
    "book_older": "the book {book} was made by an older fairhours; migrate it first",
    "known_at_beyond": "known_at {known_at} is beyond the book, which has batches 1 to {last}",
    "known_at_before_book": "known_at {known_at} is before the book was begun, at {begun}",
    "known_at_unreadable": "known_at {known_at} is no batch number, stamp, date or instant",
    "cost_undefined": "the cost of job {job} is undefined: {why}",
}


@contextmanager
def in_plain_text() -> Iterator[None]:
    """Let refusals within read as a sentence; their class, kind and fields stay as they are."""
    try:
        yield
    except FairhoursError as error:
        if not isinstance(error, Faults):
            error.sentence = sentence_of(error)
        raise


def sentence_of(error: FairhoursError) -> str:
    """Return a sentence for a refusal: its own, else its kind with its fields in words."""
    fields = {name: _text(value) for name, value in error.fields.items()}
    if error.kind in SENTENCES:
        return SENTENCES[error.kind].format(**fields)
    listed = ", ".join(f"{_words(name)} {text}" for name, text in fields.items())
    return f"{_words(error.kind)}: {listed}" if listed else _words(error.kind)


def _text(value: object) -> str:
    if isinstance(value, FairhoursError):
        return sentence_of(value)
    if isinstance(value, Reason):
        listed = ", ".join(f"{_words(name)} {each}" for name, each in value.fields)
        return f"{_words(value.kind)}, {listed}" if listed else _words(value.kind)
    if isinstance(value, tuple):
        return ", ".join(map(_text, value))
    return str(value)


def _words(name: str) -> str:
    return name.replace("_", " ")
