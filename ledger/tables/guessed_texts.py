"""What the texts of a column look like: dates, hours, numbers or words."""

import re
from collections.abc import Sequence

from ledger.tables.guess_words import TOTALS, is_name
from ledger.tables.guessing import DATE, NAMED_DATE, Guess, Unsure
from ledger.tables.written_values import month_of

_NUMBER = re.compile(
    r"[-\u2212]?[^\w\s.,%-]?\s?[0-9][0-9.,' \u00a0\u202f]*(?:\s?(?:%|h|hrs|[^\w\s.,]))?"
)
_CLOCK = re.compile(r"[0-9]{1,4}:[0-5][0-9](?::[0-5][0-9])?(?: ?[ap]\.?m\.?)?", re.IGNORECASE)
_TIME = re.compile(r"[0-2]?[0-9][:.]?[0-5][0-9]")
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[T ]00:00(?::00)?)?")
_COMMA = re.compile(r"[0-9.' \u00a0]*,(?:[0-9]{1,2}|[0-9]{4,})")
_POINT = re.compile(r"[0-9,' \u00a0]*\.(?:[0-9]{1,2}|[0-9]{4,})")
_GROUPED = re.compile(r"[0-9]{1,3}(?:([.,' \u00a0\u202f])[0-9]{3})+(?:[.,][0-9]+)?")
MARKS = ("-", "--", "–", "—", "x", "/", "n/a")
UNITS = re.compile(
    r"(?:h|hrs?|hours|std|%|m|m2|m²|kg|t|pcs|st|eur|€|\$|£|(?:eur|€|\$|£) ?/ ?(?:h|hr)|date|"
    r"[dty]{2}[./-]m{2}[./-][dyjt]{2,4}|[yj]{4}-m{2}-[dt]{2})",
    re.IGNORECASE,
)
BEGINNINGS = (*TOTALS, "subtotal", "sub-total", "sub total", "grand total", "zwischensumme")
WORDED = {"name", "title", "trade", "control_account", "grade", "supplier"}


def is_date(text: str) -> bool:
    """Return whether a text is a day, or a month with its year."""
    forms = (DATE, NAMED_DATE, _ISO)
    return any(each.fullmatch(text) for each in forms) or month_of(text, None) is not None


def is_number(text: str) -> bool:
    return bool(_NUMBER.fullmatch(text))


def looks_like(column: str, kind: str, texts: Sequence[str]) -> bool:
    """Return whether most of the texts under a head can be what a column of this kind has."""
    filled = [text for text in texts if text and text not in MARKS and not UNITS.fullmatch(text)]
    if not filled:
        return True
    tests = {
        "date": is_date,
        "number": is_number,
        "hours": lambda text: is_number(text) or bool(_CLOCK.fullmatch(text)),
        "clock": lambda text: bool(_CLOCK.fullmatch(text) or _TIME.fullmatch(text)),
    }
    if kind in tests:
        return 5 * sum(map(tests[kind], filled)) >= 3 * len(filled)
    dates = sum(map(is_date, filled))
    numbers = sum(map(is_number, filled))
    names = sum(map(is_name, filled))
    if column == "worker_id" and 2 * names > len(filled):
        return False
    return 2 * dates <= len(filled) and (column not in WORDED or 2 * numbers <= len(filled))


def is_of_units(row: Sequence[str]) -> bool:
    """Return whether a row has units, or how dates are written, and nothing else."""
    filled = [cell for cell in map(str.strip, row) if cell]
    return bool(filled) and all(map(UNITS.fullmatch, filled))


def total_of(text: str) -> str:
    """Return the text by which a row of totals is known, "" for one that is none."""
    word = " ".join(text.lower().split()).rstrip(" :")
    if word in BEGINNINGS:
        return " ".join(text.split())
    beginning = next(
        (
            each
            for each in sorted(BEGINNINGS, key=len, reverse=True)
            if word.startswith((f"{each} ", f"{each}:")) and each != "all"
        ),
        "",
    )
    return f"{' '.join(text.split())[: len(beginning)]}*" if beginning else ""


def totals_of(totals: Sequence[str], texts: Sequence[str]) -> list[str]:
    """Return the texts by which all rows of totals are known, of the `texts` in their column.

    A beginning that a line has too, as "Sum*" of a sump, gives way to the totals' own texts.
    """
    known: list[str] = []
    others = [text.lower() for text in texts if not total_of(text)]
    for text in totals:
        by = total_of(text)
        is_shared = by.endswith("*") and any(each.startswith(by[:-1].lower()) for each in others)
        known.append(" ".join(text.split()) if is_shared else by)
    return list(dict.fromkeys(known))


def find_marks(guess: Guess, texts: Sequence[str], *, is_tab: bool) -> None:
    """Find the decimal mark and that of thousands; where the texts leave them open, say so."""
    bare = [text.strip("€$£% ").removesuffix("h").strip() for text in texts if is_number(text)]
    commas = [text for text in bare if _COMMA.fullmatch(text)]
    points = [text for text in bare if _POINT.fullmatch(text)]
    grouped = [(text, match[1]) for text in bare if (match := _GROUPED.fullmatch(text))]
    if is_tab:
        points, grouped = [], [each for each in grouped if each[1] != "."]
    if commas:
        guess.keys["decimal_mark"] = ","
        if points:
            guess.unsure.append(Unsure("decimal_mark", comma=commas[0], point=points[0]))
    mark = "," if commas else "."
    for text, by in grouped:
        by = " " if by in "\u00a0\u202f" else by
        if by != mark and (by in " '" or commas or points):
            guess.keys["thousands"] = by
            guess.unsure.append(Unsure("thousands", text=text))
            return
        if not commas and not points:
            guess.unsure.append(Unsure("thousands_open", text=text, mark=by))
            return
