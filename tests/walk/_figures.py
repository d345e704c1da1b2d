"""Figures found by walking what commands and reports say, each by its name and its context.

No list says which figures stand where: a figure is named by the words on its way through the
JSON, and figures of one name in one context must be equal wherever they stand. The dictionaries
say only which words are one, which name nothing, and which contexts do not matter to a figure.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, NamedTuple

MS_PER_HOUR = 3_600_000
EXACT, SHOWN = "exact", "shown"
# How far a shown figure may be from what it is, in units of its last place: parts add up as shown.
SLACK = 2

# Words on the way that name nothing.
NEUTRAL = frozenset(
    {
        *("rows", "outside", "steps", "cumulative", "periods", "time", "incomplete"),
        *("hours", "amount", "sums", "packages", "changes", "headline", "statement"),
    }
)
# Words that are walked past: reasons, stamps, and exact figures of the same name.
SILENT = frozenset(("undefined", "exact", "known_at", "notes", "closed_to", "status_date"))
# Heads of an answer or a page, with no figures of work below them.
HEADS = frozenset(("job", "yard"))
# Words that name a row of a list, in the order in which they are looked for.
NAMING = (
    *("step", "key", "code", "period_to", "period_end", "change", "package", "week"),
    *("worker_id", "entry"),
)
# Places that are the same row whatever the rows are grouped by.
OF_ANY_GROUPING = frozenset(("non_productive", "untagged", "undistributed"))
# Names that are one: by what the design calls the figure.
SAME = {
    "non_productive.ac": "non_productive",
    "untagged.ac": "untagged",
    "booked": "job_booked",
    "of_job.booked": "job_booked",
    "of_job.untagged": "untagged",
    "asked_for": "asked_by.owner",
    "paid": "borne_by.owner",
    "not_charged": "borne_by.yard",
    "original_sum": "contract_sum",
    "adjusted_sum": "adjusted_contract_sum",
    "all.total": "cv",  # labour variances add up to the cost variance
}
# On a list of codes a package's budget and hours are its BAC and AC.
OF_CODES = {"budget": "bac", "booked": "ac"}
# Figures that are the same on either baseline.
ON_EITHER_BASELINE = re.compile(
    r"anticipated_final|job_booked|non_productive|untagged|(not_)?instructed\.\w+|contingency\.\w+"
)
# What stands beside every CPI is in hours whatever is measured, and of the current baseline.
BESIDE = "incomplete"
NOT_BESIDE = frozenset(("cpi_with_missing",))
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

Value = Decimal | str | None


class Key(NamedTuple):
    """What a figure is: of which job, by which day, on which baseline, in what, and its name."""

    job: str | None
    day: str | None
    baseline: str
    unit: str
    name: str


@dataclass(frozen=True)
class Figure:
    """A figure where it stands; shown ones are rounded for people, so that parts add up."""

    key: Key
    value: Value
    source: str
    places: str = EXACT


def figures(answer: Any, source: str, asked: dict[str, str], places: str = EXACT) -> list[Figure]:
    """Return every figure of an answer; `asked` are the options it was asked with."""
    if not isinstance(answer, dict):
        return []
    context = asked | {k: v for k, v in answer.items() if k in {"baseline", "in", "status_date"}}
    context |= {"job": answer["job"]} if isinstance(answer.get("job"), str) else {}
    # Money is asked to a day.
    context |= {"status_date": answer["to"]} if isinstance(answer.get("to"), str) else {}
    return [
        Figure(key, value, source, places)
        for way, leaf in leaves(answer, ())
        for key, value in [named(way, leaf, context)]
    ]


def leaves(value: Any, way: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Yield each number, day and missing figure with the words on the way to it."""
    if isinstance(value, dict):
        for word, inner in value.items():
            passed = word in SILENT or word in NAMING or (not way and word in HEADS)
            if not passed:
                yield from leaves(inner, (*way, word))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from leaves(inner, (*way, row_name(inner, place)))
    elif not isinstance(value, bool) and way and is_figure(value):
        yield way, value


def row_name(row: Any, place: int) -> str:
    """Return what names a row of a list: its naming words with their values, else its place."""
    found = [word for word in NAMING if isinstance(row, dict) and isinstance(row.get(word), str)]
    return " ".join(f"{word}={row[word]}" for word in found) or f"#{place}"


def is_figure(value: Any) -> bool:
    if isinstance(value, str):
        return bool(NUMBER.fullmatch(value) or DAY.fullmatch(value))
    return value is None or isinstance(value, Decimal | int)


def named(way: tuple[str, ...], leaf: Any, context: dict[str, str]) -> tuple[Key, Value]:
    """Return the key of a leaf and its value as compared."""
    words, day = [], context.get("status_date")
    for word in way:
        kind, _, value = word.partition("=")
        if kind in {"period_to", "period_end"} and value:
            day = value
        elif kind == "step":
            words.append(value)
        elif kind == "key":
            words += row_words(value, context)
        elif kind == "code":
            words.append(f"work-package {value}")
        elif word not in NEUTRAL:
            words.append(word)
    last, unit, found = measured(way[-1], leaf, context)
    if words and words[-1] == way[-1]:
        of_code = words[0].startswith("work-package")
        words[-1:] = [OF_CODES.get(last, last) if of_code else last][: last not in NEUTRAL]
    name = SAME.get(".".join(words), ".".join(words))
    baseline = context.get("baseline", "current")
    if BESIDE in way and not NOT_BESIDE & set(way):
        baseline, unit = "any", "hours"
    if ON_EITHER_BASELINE.fullmatch(name):
        baseline = "any"
    return Key(context.get("job"), day, baseline, unit, name), found


def row_words(key: str, context: dict[str, str]) -> list[str]:
    if key == context.get("job"):
        return []
    grouped = context.get("by", "job")
    plain = key in OF_ANY_GROUPING or key in {"instructed", "not_instructed", "contingency"}
    return [key if plain or grouped == "job" else f"{grouped} {key}"]


def measured(word: str, leaf: Any, context: dict[str, str]) -> tuple[str, str, Value]:
    """Return the word without its unit, the unit, and the value: hours and money as decimals."""
    unit = context.get("in", "hours")
    if leaf is None or (isinstance(leaf, str) and DAY.fullmatch(leaf)):
        return word.removesuffix("_ms").removesuffix("_hours"), unit, leaf
    value = Decimal(leaf)
    if word.endswith("_ms"):
        hours = (value / MS_PER_HOUR).quantize(Decimal("0.0001"), ROUND_HALF_UP)
        return word.removesuffix("_ms"), "hours", hours
    if word.endswith("_hours"):
        return word.removesuffix("_hours"), "hours", value
    if isinstance(leaf, str) or word == "price" or word.endswith("_sum"):
        # Canonical JSON has money as text.
        return word, "charge", value
    return word, unit, value


def disagreements(found: Iterable[Figure]) -> list[str]:
    """Return each figure that stands in two places unequal, with both places."""
    wrong = []
    for key, own in by_key(found).items():
        exact, shown = ([f for f in own if f.places == places] for places in (EXACT, SHOWN))
        for group in (exact, shown):
            wrong += [told(key, group[0], f) for f in group[1:] if f.value != group[0].value]
        if exact and shown and not is_near(exact[0].value, shown[0].value):
            wrong.append(told(key, exact[0], shown[0]))
    return wrong


def told(key: Key, first: Figure, other: Figure) -> str:
    where = " ".join(str(part) for part in key)
    return f"{where}: {first.value} in {first.source}, {other.value} in {other.source}"


def is_near(exact: Value, shown: Value) -> bool:
    if isinstance(exact, Decimal) and isinstance(shown, Decimal):
        return abs(exact - shown) < SLACK * Decimal(1).scaleb(int(shown.as_tuple().exponent))
    return exact == shown


def by_key(found: Iterable[Figure]) -> dict[Key, list[Figure]]:
    groups: dict[Key, list[Figure]] = defaultdict(list)
    for figure in found:
        groups[figure.key].append(figure)
    return groups


def shared(found: Iterable[Figure]) -> dict[Key, set[str]]:
    """Return the figures that stand in more than one place, with those places."""
    groups = by_key(found)
    sources = {key: {figure.source for figure in own} for key, own in groups.items()}
    return {key: places for key, places in sources.items() if len(places) > 1}
