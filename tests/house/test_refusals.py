"""Refusals are facts: a kind, fields and what helps; `ledger/cli` has one sentence for each."""

import ast
import re
import string
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from ledger import errors
from ledger.cli.refusals.remedies import REMEDIES
from ledger.cli.refusals.worded import ROOMS, WORDINGS, worded
from ledger.errors import FairhoursError, Fault, Faults, Refused, Remedy, WrongUsage

ROOT = Path(__file__).resolve().parents[2]

CLASSES = {
    name
    for name, thing in vars(errors).items()
    if isinstance(thing, type) and issubclass(thing, FairhoursError) and name != "Faults"
}
REMEDY = "Remedy"
NOON = datetime(2026, 5, 3, 12, 0, 0, 1, tzinfo=UTC)
KIND = re.compile("[a-z][a-z0-9]*(_[a-z0-9]+)*")


class Made(NamedTuple):
    """A refusal or a remedy made on one line: by which name, of which kind, with which fields."""

    place: str
    name: str
    kind: str
    fields: frozenset[str]

    @property
    def wordings(self) -> Mapping[str, str]:
        return REMEDIES if self.name == REMEDY else WORDINGS


@cache
def nodes(source: str) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(ast.parse(source)))


def calls(path: str, source: str) -> Iterator[tuple[str, str, ast.Call]]:
    """Yield each place where a refusal or a remedy is made, with the name it is made by."""
    for node in nodes(source):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
            continue
        if node.func.id in CLASSES | {REMEDY}:
            yield f"{path}:{node.lineno}", node.func.id, node


def made(path: str, source: str) -> Iterator[Made]:
    """Yield each refusal and remedy whose kind can be read off the page."""
    for place, name, call in calls(path, source):
        if not unreadable(call):
            fields = frozenset(str(each.arg) for each in call.keywords)
            yield Made(place, name, ast.literal_eval(call.args[0]), fields)


def unreadable(call: ast.Call) -> bool:
    """Return whether kind and names of fields are not written out where the thing is made."""
    literal = len(call.args) == 1 and isinstance(call.args[0], ast.Constant)
    kind = call.args[0].value if literal and isinstance(call.args[0], ast.Constant) else None
    named = all(each.arg for each in call.keywords)
    return not (isinstance(kind, str) and KIND.fullmatch(kind) and named)


def names_in(text: str) -> set[str]:
    """Return the names of the fields that a sentence takes."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def complaints(path: str, source: str) -> Iterator[str]:
    """Yield what does not fit of the refusals and remedies that one module makes."""
    for place, name, call in calls(path, source):
        if unreadable(call):
            yield f"{place}: {name} takes a kind in snake_case, then its fields by name"
    for each in made(path, source):
        if each.kind not in each.wordings:
            yield f"{each.place}: {each.kind} has no wording"
            continue
        given, taken = each.fields, names_in(each.wordings[each.kind])
        if missing := sorted(taken - given):
            yield f"{each.place}: {each.kind} is worded with {', '.join(missing)}"
        if unused := sorted(given - taken - {"remedy"}):
            yield f"{each.place}: {each.kind} is worded without {', '.join(unused)}"
    for node in nodes(source):
        if not isinstance(node, ast.ClassDef):
            continue
        named = {base.id for base in node.bases if isinstance(base, ast.Name)}
        if named & CLASSES and path != "ledger/errors.py":
            yield f"{path}:{node.lineno}: an error of its own belongs in ledger/errors.py"


def modules() -> Iterator[tuple[str, str]]:
    for file in sorted((ROOT / "ledger").rglob("*.py")):
        yield file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8")


def all_made() -> list[Made]:
    return [each for path, source in modules() for each in made(path, source)]


@pytest.mark.parametrize(
    "source",
    [
        "raise Refused('period_none_closed')",
        "raise Refused('job_unknown', job=job, remedy=Remedy('show', what='jobs'))",
        "raise Refused('estimate_missing', job=job, remedy=Remedy('load', what='estimate'))",
        "return BookError('disk_full', said=str(error))",
        "raise WrongUsage('topic_unknown', topic='x', known=('y',))",
    ],
)
def test_a_kind_with_the_fields_of_its_wording_is_accepted(source: str) -> None:
    """What helps may be worded as prose: a remedy need not stand in the sentence as a command."""
    actual = list(complaints("ledger/store/a.py", source))

    assert actual == []


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("Refused('job_gone', job=job)", "job_gone has no wording"),
        ("Refused('plan_frozen', file=name)", "plan_frozen is worded with job"),
        ("Refused('job_unknown', job=job)", "job_unknown is worded with remedy"),
        (
            "Refused('period_none_closed', job=job)",
            "period_none_closed is worded without job",
        ),
        ("Remedy('load')", "load is worded with what"),
        ("Remedy('load_it', what='crew')", "load_it has no wording"),
        (
            "Refused('there is no job')",
            "Refused takes a kind in snake_case, then its fields by name",
        ),
        ("Refused(kind)", "Refused takes a kind in snake_case, then its fields by name"),
        (
            "Refused('plan_frozen', **facts)",
            "Refused takes a kind in snake_case, then its fields by name",
        ),
        (
            "class Late(Refused):\n    pass",
            "an error of its own belongs in ledger/errors.py",
        ),
    ],
)
def test_a_kind_that_does_not_fit_its_wording_is_found(source: str, expected: str) -> None:
    """An unknown kind, a field too many or too few, a missing remedy and a sentence are found."""
    actual = list(complaints("ledger/store/a.py", source))

    assert actual == [f"ledger/store/a.py:1: {expected}"]


def test_every_refusal_fits_its_wording() -> None:
    """Each place that refuses gives a kind that has a sentence, and the fields that it takes."""
    found = all_made()
    actual = [text for path, source in modules() for text in complaints(path, source)]

    assert len(found) > len(WORDINGS)
    assert actual == []


def test_every_wording_is_used() -> None:
    """No sentence and no remedy is kept that nothing gives any more, and each stands once."""
    used = {(each.name == REMEDY, each.kind) for each in all_made()}
    kept = {(False, kind) for kind in WORDINGS} | {(True, kind) for kind in REMEDIES}

    assert sorted(kept - used) == []
    assert sum(len(room.WORDINGS) for room in ROOMS) == len(WORDINGS)


def test_a_kind_has_one_exit_code() -> None:
    """The same refusal is the same class of error wherever it is made."""
    classes = defaultdict(set)
    for each in all_made():
        classes[each.name == REMEDY, each.kind].add(each.name)
    actual = {kind: names for (_, kind), names in classes.items() if len(names) > 1}

    assert actual == {}


def test_a_wording_names_commands_by_its_remedy_alone() -> None:
    """A command stands in REMEDIES, so that whoever does not print can offer it in its own way."""
    actual = [kind for kind, text in WORDINGS.items() if re.search("`|fairhours [a-z-]+ ", text)]

    assert actual == []


def test_durations_are_fields_in_milliseconds_worded_as_hours() -> None:
    """A field whose name ends in ms is a duration, and no other is worded as hours."""
    actual = [
        f"{kind}: {name}:{form}"
        for kind, text in {**WORDINGS, **REMEDIES}.items()
        for _, name, form, _ in string.Formatter().parse(text)
        if name and (form == "hours") != (name.rpartition("_")[2] == "ms")
    ]

    assert actual == []


@pytest.mark.parametrize(
    ("error", "expected"),
    [
        (Refused("period_none_closed"), "period_none_closed"),
        (
            Refused("job_unknown", job="PIER", remedy=Remedy("show", what="jobs")),
            "job_unknown(job='PIER'); remedy show(what='jobs')",
        ),
        (
            Refused("period_closed", day=date(2026, 5, 3), last=date(2026, 5, 31)),
            "period_closed(day=2026-05-03, last=2026-05-31)",
        ),
        (
            Refused("sheets_unread", file="a.csv", because=Refused("disk_full", said="no space")),
            "sheets_unread(file='a.csv', because=disk_full(said='no space'))",
        ),
        (
            Refused("totals_differ", totals=(Refused("head_blank", file="a.csv"),)),
            "totals_differ(totals=(head_blank(file='a.csv')))",
        ),
        (
            Faults([Fault("a.csv", 3, "no such change", remedy=Remedy("load_first", what="x"))]),
            "faults:\na.csv:3: no such change; load_first(what='x')",
        ),
    ],
)
def test_a_refusal_reads_well_in_a_traceback(error: FairhoursError, expected: str) -> None:
    """Its text has kind, fields and what helps, whatever a user reads of it."""
    actual = str(error)

    assert actual == expected


@pytest.mark.parametrize(
    ("error", "expected"),
    [
        # Several texts are joined by commas, or as the sentence asks.
        (
            Refused("table_unknown", table="crews", tables=("crew", "entry")),
            'unknown table "crews"; use one of settings, crew, entry',
        ),
        (
            WrongUsage("paper_unknown", papers=("A4", "Letter"), given="A5"),
            'unknown paper "A5"; use A4 or Letter',
        ),
        # 27,000,000 ms are 7.50 h.
        (
            Refused("total_differs", where="a.csv:9", total_ms=27_000_000, lines_ms=0),
            "a.csv:9: the total is 7.50 h, the lines above it add up to 0.00 h; correct the "
            "sheet, or remove [total] from the layout",
        ),
        # A refusal within another stands with its own words and what helps there.
        (
            Refused(
                "freeze_would_fall",
                job="PIER",
                day=date(2026, 5, 3),
                because=Refused(
                    "milestones_missing", package="HULL", remedy=Remedy("load", what="milestones")
                ),
            ),
            "the freeze of PIER on 2026-05-03 would no longer be valid: HULL: is measured by "
            "milestones and has none; `fairhours load milestones`",
        ),
        (
            Refused(
                "totals_differ",
                totals=(Refused("head_blank", file="a"), Refused("head_blank", file="b")),
            ),
            "a: has only blank rows where the head should be\n"
            "b: has only blank rows where the head should be",
        ),
        # An instant to the microsecond, or to the second where the sentence asks.
        (
            Refused("clock_behind", clock=datetime(2026, 5, 3, tzinfo=UTC), last=NOON),
            "the clock says 2026-05-03T00:00:00+00:00, the last batch was recorded at "
            "2026-05-03T12:00:00.000001+00:00; set the clock right and try again",
        ),
        (
            Refused("known_at_before_book", known_at="2025-01-01", begun=NOON),
            '--known-at "2025-01-01": the book was begun later, at 2026-05-03 12:00:00+00:00',
        ),
        # Faults of a file, with what helps before the values that are wrong likewise.
        (
            Faults(
                [
                    Fault("a.csv", 3, 'no "X"', text="X", remedy=Remedy("load_first", what="a")),
                    Fault("a.csv", 4, 'no "Y"', text="Y", remedy=Remedy("load_first", what="a")),
                ]
            ),
            'a.csv:3-4: no "X"; `fairhours load a` first (likewise "Y")\n'
            "2 faults; nothing was loaded",
        ),
    ],
)
def test_fields_are_worded_as_their_sentence_asks(error: FairhoursError, expected: str) -> None:
    """Lists, hours, instants, refusals within refusals and faults each have one form."""
    actual = worded(error)

    assert actual == expected
