"""Codes and words as they are kept and compared: trimmed, composed (NFC), in one case.

`code_of` and `word_of` are the only foldings of the program. The book's macros of the same names do
to a column what these do to a text that is trimmed already; a test compares them over all of
Unicode. Both fold letter by letter (Unicode's simple mappings), never one letter to two, and look
at no neighbour: ß is ẞ, not SS; a Greek sigma is σ wherever it stands.
"""

import unicodedata

# The simple capital of ß, which has none in Python; its simple small form of İ likewise.
CAPITALS = {"ß": "ẞ"}
SMALL = {"İ": "i"}


def code_of(text: str) -> str:
    """Return a code as it is kept: workers, jobs, packages, changes and booking codes."""
    composed = unicodedata.normalize("NFC", text.strip())
    if composed.isascii():
        return composed.upper()
    return unicodedata.normalize("NFC", "".join(map(_capital, composed)))


def word_of(text: str) -> str:
    """Return a word as it is kept: trades, grades, causes and milestones."""
    composed = unicodedata.normalize("NFC", text.strip())
    if composed.isascii():
        return composed.lower()
    return unicodedata.normalize("NFC", "".join(map(_small, composed)))


def name_of(text: str) -> str:
    """Return a person's name as it is compared: a word, with one blank wherever there are any."""
    return " ".join(word_of(text).split())


def _capital(letter: str) -> str:
    # A letter with an iota below has a capital of one letter by its title form alone.
    one = (each for each in (letter.upper(), letter.title()) if len(each) == 1)
    return CAPITALS.get(letter) or next(one, letter)


def _small(letter: str) -> str:
    small = SMALL.get(letter) or letter.lower()
    return small if len(small) == 1 else letter
