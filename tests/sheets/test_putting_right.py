"""Whatever is loaded, corrected, re-issued, reversed and undone, in any order: every sum holds."""

import contextlib
import itertools
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests._stage import (
    Content,
    booked,
    content,
    copied,
    held,
    load_sheets,
    places_by_entry,
    sums_by_entry,
    times_by_entry,
)
from tests.conftest import Yard

FEW = settings(
    max_examples=3,
    deadline=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
HEAD = "sheet,worker_id,date,hours,booking_code\n"
FILES = {
    "a.csv": [
        ("S1", "A1", "2026-03-02", "3", "FRAME"),
        ("S1", "A1", "2026-03-02", "5,5", "DECK"),
        ("S1", "A1", "2026-03-03", "8", "SHED"),
    ],
    "b.csv": [
        ("S2", "X9", "2026-03-02", "8", "DECK"),
        ("S2", "B2", "2026-03-32", "8", "DECK"),
        ("S2", "B2", "2026-03-03", "30", "FRAME"),
        ("S2", "B2", "2026-03-03", "30", "FRAME"),
    ],
    "c.csv": [
        ("S3", "C3", "2026-03-02", "", "RAIN"),
        ("S3", "C3", "2026-03-02", "2", "RAIN"),
        ("S3", "", "2026-03-02", "2", "DECK"),
    ],
}
# What is right, by what was written; the key of a row is worker, day and hours.
RIGHT = {
    ("A1", "2026-03-02", "5,5"): "hours=5.5",
    ("X9", "2026-03-02", "8"): "worker_id=A1; hours=7",
    ("B2", "2026-03-32", "8"): "date=2026-03-31",
    ("B2", "2026-03-03", "30"): "3",
    ("C3", "2026-03-02", ""): "2",
    ("", "2026-03-02", "2"): "reject",
}


def text_of(name: str) -> str:
    return HEAD + "".join(
        f'{sheet},{worker},{day},"{hours}",{code}\n'
        for sheet, worker, day, hours, code in FILES[name]
    )


def put_right(stage: Yard, path: Path) -> None:
    """Correct by a file all that is held now."""
    rows = stage.json("held")
    lines = []
    for row in rows:
        raw = {
            name: row["raw"].partition(f'"{name}":')[2] for name in ("worker_id", "date", "hours")
        }
        worker, day, hours = (
            text.split('"')[1] if text.startswith('"') else "" for text in raw.values()
        )
        lines.append(f'{row["held_line"]},"{RIGHT[worker, day, hours]}",seen on the paper\n')
    if lines:
        path.write_text("held_line,correction,why\n" + "".join(lines), encoding="utf-8")
        stage.run("load", "held", path)


def ended(prepared: Path, folder: Path, order: list[str], after: set[int]) -> Content:
    """Load files in an order, correcting after some of them and at the end; return the content."""
    stage = copied(prepared, folder)
    for place, name in enumerate(order):
        counts = load_sheets(stage, text_of(name), name)
        became = ("booked", "held", "already_booked", "already_held")
        assert counts["lines_read"] == sum(counts[each] for each in became)
        if place in after:
            put_right(stage, folder / "held.csv")
    put_right(stage, folder / "held.csv")
    assert stage.run("check").exit_code == 0
    return content(stage)


@pytest.mark.slow
@FEW
@given(data=st.data())
def test_the_order_of_files_and_corrections_decides_nothing(
    prepared: Path, data: st.DataObject
) -> None:
    """Any order of the files, each once or twice, corrections between them or at the end."""
    twice = data.draw(st.lists(st.sampled_from(sorted(FILES)), max_size=3))
    order = data.draw(st.permutations([*FILES, *twice]))
    after = data.draw(st.sets(st.integers(0, len(order) - 1)))
    with tempfile.TemporaryDirectory() as folder:
        plain = ended(prepared, Path(folder) / "plain", list(FILES), set())
        mixed = ended(prepared, Path(folder) / "mixed", list(order), after)

    assert mixed == plain
    # 3 + 5.5 + 8; 7 + 8 + 3 + 3; 2 + 2 hours, and nothing waits.
    assert sum(plain[2].values()) == 149_400_000
    assert plain[1] == []


ISSUES = [
    HEAD + "".join(f"S1,A1,2026-03-02,{hours},{code}\n" for hours, code in lines)
    for lines in (
        [("3", "FRAME"), ("5", "DECK")],
        [("3", "FRAME"), ("4", "DECK"), ("1", "RAIN")],
        [("3", "FRAME")],
        [("5", "DECK"), ('"2,5"', "DECK"), ("0", "SHED")],
    )
]
RULES = "rule,priority,booked_to,booking_code,share\n"
MOVES = [RULES + "r,1,RIG,FRAME,1\n", RULES + "r,1,DECK,FRAME,0.3\nr,1,RIG,FRAME,0.7\n"]
STEPS = st.one_of(
    st.tuples(st.just("issue"), st.integers(0, len(ISSUES) - 1)),
    st.tuples(st.just("rules"), st.integers(0, len(MOVES) - 1)),
    st.tuples(st.sampled_from(["reverse", "undo", "correct", "reject line"]), st.integers(0, 5)),
    st.tuples(st.sampled_from(["confirm", "reject"]), st.integers(0, 2)),
    st.tuples(st.sampled_from(["correct entry", "reverse file"]), st.integers(0, 5)),
)
CHANGES = ("hours=2.5", "booking_code=DECK", "date=2026-03-03", "hours=5", "sheet=S2", "note=x")


def listed(stage: Yard, *words: str) -> list[dict[str, str]]:
    return stage.rows(stage.run(*words, "--format", "csv").stdout)


def take(stage: Yard, step: str, which: int) -> None:
    """Do one step, where there is something to do it to."""
    why = ("--reason", "seen on the paper")
    entries = listed(stage, "entries")
    lines = [row for row in held(stage) if row["reason"] != "re_issue"]
    open_ones = sorted({row["reissue"] for row in listed(stage, "reissues")})
    if step == "issue":
        load_sheets(stage, ISSUES[which], f"issue-{which}.csv")
    elif step == "rules":
        stage.run("load", "rules", stage.write("rules.csv", MOVES[which]))
    elif step in ("confirm", "reject") and open_ones:
        may_refuse(stage, step, "reissue", open_ones[which % len(open_ones)], *why)
    elif step == "correct" and lines:
        stage.run("correct", "line", lines[which % len(lines)]["held_line"], "hours=2.5", *why)
    elif step == "reject line" and lines:
        stage.run("reject", "line", lines[which % len(lines)]["held_line"], *why)
    elif step in ("reverse", "undo"):
        state = "stands" if step == "reverse" else "reversed"
        fitting = [row["entry"] for row in entries if row["state"] == state]
        thing = "entry" if step == "reverse" else "reversal"
        if fitting:
            may_refuse(stage, step, thing, fitting[which % len(fitting)], *why)
    elif step == "correct entry":
        fitting = [row["entry"] for row in entries if row["state"] == "stands"]
        if fitting:
            change = CHANGES[which % len(CHANGES)]
            may_refuse(stage, "correct", "entry", fitting[which % len(fitting)], change, *why)
    elif step == "reverse file":
        may_refuse(stage, "reverse", "file", f"issue-{which % len(ISSUES)}.csv", *why)


def may_refuse(stage: Yard, *words: str) -> None:
    """Run a command that this history may not allow; what is refused changes nothing."""
    before = stage.run("history").stdout
    with contextlib.suppress(AssertionError):
        stage.run(*words)
        return
    assert stage.run("history").stdout == before


@pytest.mark.slow
@FEW
@given(steps=st.lists(STEPS, min_size=6, max_size=9))
def test_every_step_leaves_every_sum_whole(prepared: Path, steps: list[tuple[str, int]]) -> None:
    """After each step postings sum to their entries, and what stands is what is booked."""
    with tempfile.TemporaryDirectory() as folder:
        stage = copied(prepared, Path(folder))
        for step, which in itertools.chain([("issue", 0)], steps):
            take(stage, step, which)
            times = times_by_entry(stage)
            stands = {
                (batch, number)
                for row in listed(stage, "entries")
                if row["state"] == "stands"
                for batch, number in [row["entry"].split(".")]
            }
            places = places_by_entry(stage)

            assert sums_by_entry(stage) == times
            assert sum(booked(stage).values()) == sum(times[entry] for entry in stands)
            # No time of an entry stands with the other sign.
            assert all(ms * times[entry] >= 0 for entry, at in places.items() for ms in at.values())
        assert stage.run("check").exit_code == 0
