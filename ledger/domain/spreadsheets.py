"""What a spreadsheet does with a text that it opens.

Source: OWASP, CSV Injection (owasp.org/www-community/attacks/CSV_Injection): a cell that begins
with =, +, -, @, tab, carriage return or line feed, also in full width, may be taken for a formula;
an apostrophe before it keeps it a text.
"""

import re

MARK = "'"
_BEGINS = re.compile("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
# A sign with digits alone reckons nothing, and stays the number that it is.
_NUMBER = re.compile(r"[-+][0-9 .,:]*%?")


def begins_formula(text: str) -> bool:
    """Return whether a text may be taken for a formula; one that is a number may not."""
    return bool(_BEGINS.match(text)) and not _NUMBER.fullmatch(text)


def without_mark(text: str) -> str:
    """Return the text as it was before an apostrophe was put before what begins a formula."""
    rest = text.removeprefix(MARK)
    return rest if begins_formula(rest) else text


def column_letters(column: int) -> str:
    """Return the letters of a column counted from 0: A, B, ..., Z, AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
