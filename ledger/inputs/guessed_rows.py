"""Which rows below a head are no lines: units, totals, titles, notes, and counts of the others."""

import re
from collections import Counter

from ledger.inputs.column_words import OF_TITLES
from ledger.inputs.guessed_heads import Candidate
from ledger.tables.guessed_texts import is_of_units, total_of, totals_of
from ledger.tables.guessing import Guess, Rows, Unsure

NOTES = ("note", "notes", "nb", "remark", "remarks")
# Columns that yards fill with numbers, or with codes that have one.
NUMBERED = ("worker_id", "work_package", "change")
_NUMBER = re.compile(r"[0-9][0-9.,/ -]*")


def rows_left_out(guess: Guess, candidate: Candidate) -> None:
    """Propose what is no line: rows of units, totals, notes, and words among numbers."""
    left_out: dict[str, list[str]] = {}
    first = next((row for row in candidate.below if any(map(str.strip, row))), [])
    units = [(at, cell.strip()) for at, cell in enumerate(first) if cell.strip()]
    headed = [(head, cell) for at, cell in units if (head := candidate.head_at(at))]
    if is_of_units(first) and headed:
        left_out[headed[0][0]] = [headed[0][1]]
    _totals(guess, candidate, left_out)
    for row in candidate.below:
        filled = [at for at, cell in enumerate(row) if cell.strip()]
        start = row[filled[0]].strip() if filled else ""
        word = start.lower().partition(" ")[0].rstrip(":")
        if len(filled) > 1 and word in NOTES and (head := candidate.head_at(filled[0])):
            kept = left_out.setdefault(head, [])
            kept += [text for text in [f"{start[: len(word)]}*"] if text not in kept]
    _worded(guess, candidate, left_out)
    guess.sections["left_out"] = dict(left_out)


def _totals(guess: Guess, candidate: Candidate, left_out: dict[str, list[str]]) -> None:
    rows = [*candidate.below, *candidate.beside]
    places: dict[int, list[str]] = {}
    for row in rows:
        for at, cell in enumerate(row[: len(candidate.written)]):
            if candidate.written[at] and total_of(cell.strip()):
                places.setdefault(at, []).append(cell.strip())
                break
    if not places:
        return
    texts = {at: totals_of(totals, _under(rows, at)) for at, totals in places.items()}
    best = max(texts, key=lambda at: len(texts[at]))
    own, column = texts.pop(best), candidate.written[best]
    guess.sections["total"] = {"column": column, "text": own if len(own) > 1 else own[0]}
    guess.unsure.append(Unsure("total", text=" and ".join(own), column=column))
    for at, others in texts.items():
        left_out[candidate.written[at]] = others


def _under(rows: Rows, at: int) -> list[str]:
    return [row[at].strip() for row in rows if at < len(row)]


def _worded(guess: Guess, candidate: Candidate, left_out: dict[str, list[str]]) -> None:
    """Leave out rows with mere words under a head of numbers, as "Number of people" below workers.

    A single word may be a code: its row is left out where it lacks what all the others have.
    """
    at = next((candidate.fields[name] for name in NUMBERED if name in candidate.fields), None)
    if at is None:
        return
    rows = [row for row in candidate.all_lines() if at < len(row) and row[at].strip()]
    numbered = [row for row in rows if any(map(str.isdecimal, row[at]))]
    worded = [row for row in rows if row not in numbered]
    if len(numbered) <= len(worded):
        return
    is_of_numbers = all(_NUMBER.fullmatch(row[at].strip()) for row in numbered)
    are_single = not any(" " in row[at].strip() for row in numbered)
    none: list[str] = []
    doubtful: list[str] = []
    for row in worded:
        text = " ".join(row[at].split())
        is_none = are_single if " " in text else is_of_numbers and _lacks(row, numbered)
        (none if is_none else doubtful).append(text)
    head = candidate.written[at]
    if none:
        candidate.worded = (at, frozenset(none))
        kept = left_out.setdefault(head, [])
        kept += [text for text in dict.fromkeys(none) if text not in kept]
        guess.unsure.append(Unsure("words_left_out", texts=list(dict.fromkeys(none)), column=head))
    if doubtful:
        texts = list(dict.fromkeys(doubtful))
        guess.unsure.append(Unsure("words_among_numbers", texts=texts, column=head))


def _lacks(row: list[str], others: Rows) -> bool:
    """Return whether a row is blank where all others have something."""
    filled = [{at for at, cell in enumerate(each) if cell.strip()} for each in others]
    return any(at >= len(row) or not row[at].strip() for at in set.intersection(*filled))


def find_titles(guess: Guess, candidate: Candidate, lacking: list[str]) -> None:
    """Find rows with one filled cell: titles that say a column that is lacking, or notes."""
    alone: list[tuple[int, int, str]] = []
    last = 0
    for number, row in enumerate(candidate.below):
        filled = [at for at, cell in enumerate(row) if cell.strip()]
        if len(filled) == 1 and not total_of(row[filled[0]].strip()):
            alone.append((number, filled[0], row[filled[0]].strip()))
        elif len(filled) > 1:
            last = number
    between = [each for each in alone if each[0] < last]
    field = next((each for each in OF_TITLES if each in lacking), None)
    places = Counter(at for _, at, _ in between if candidate.head_at(at))
    if field and places:
        head = candidate.written[places.most_common(1)[0][0]]
        guess.sections["titles"] = {field: head}
        guess.unsure.append(Unsure("titles", field=field, texts=[text for _, _, text in between]))
    elif alone:
        between = []
    if len(alone) > len(between):
        guess.keys["notes"] = True
        texts = [each[2] for each in alone if each not in between]
        guess.unsure.append(Unsure("notes", texts=texts))
