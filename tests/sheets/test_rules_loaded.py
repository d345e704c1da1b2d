"""Rules loaded: with their reason, shown before they act, and over closed periods when asked."""

from pathlib import Path

import pytest

from ledger.commands import loads
from ledger.commands.access import WriteAccess
from ledger.sheets.places import stage_places
from tests._stage import JOB, SHEET_HEAD, booked, load_sheets, table
from tests.conftest import Yard
from tests.sheets.test_hand_tags import closed_yard, entry_of, tag
from tests.sheets.test_places import HOUR, line

HEAD = "rule,priority,booked_to,booking_code,reason\n"
UNTAGGED, DECK, RAIL = ((JOB, code, "", "") for code in ("untagged", "DECK", "RAIL"))


def load_rules(yard: Yard, rows: str, *words: str, ok: bool = True) -> list[str]:
    path = yard.write("rules.csv", HEAD + rows)
    return yard.run("load", "rules", path, *words, ok=ok).stderr.splitlines()


def test_a_dry_run_of_rules_shows_what_moves_and_writes_nothing(stage: Yard) -> None:
    """Hours from place to place, entries counted, those of closed periods listed."""
    closed_yard(stage)
    before = stage.book.read_bytes()
    lines = load_rules(stage, "shed,1,DECK,SHED,a part of the deck\n", "--dry-run")

    assert lines == [
        "dry run, nothing was written; without --dry-run:",
        "rules.csv: rule: 1 new or changed, 0 unchanged",
        "1 entry moved, 2.00 h:",
        "  STAGE untagged -> STAGE DECK: 2.00 h",
        "1 entry of a closed period not moved; see `fairhours kept`",
        f"  {entry_of(stage)}: A1 on 2026-03-02, STAGE untagged -> STAGE DECK, 8.00 h",
        "--with-closed moves them, as late adjustments",
    ]
    assert stage.book.read_bytes() == before


@pytest.mark.slow
def test_rules_move_closed_entries_when_asked(stage: Yard) -> None:
    """With a reason they move as late adjustments, also when the rules are in the book already."""
    closed_yard(stage)
    load_rules(stage, "shed,1,DECK,SHED,x\n")
    lines = load_rules(
        stage, "shed,1,DECK,SHED,x\n", "--with-closed", "--reason", "agreed with the builder"
    )
    late = stage.rows(stage.run("periods", "--job", JOB, "--late", "--format", "csv").stdout)
    traced = stage.json("trace", entry_of(stage))["life"][-1]

    assert lines[-2:] == [
        "1 entry of a closed period moved, 8.00 h, as late adjustments:",
        "  STAGE untagged -> STAGE DECK: 8.00 h",
    ]
    assert booked(stage) == {DECK: 10 * HOUR}
    assert [(row["part"], row["hours"]) for row in late] == [
        ("untagged", "-8.0000"),
        ("DECK", "8.0000"),
    ]
    assert traced["detail"] == "rule shed: x; late adjustment: agreed with the builder"


MIXED = (
    "A1,2026-03-02,1,DECK,\nA1,2026-03-03,2,DECK,bolts\nB2,2026-03-03,3,SHED,\n"
    "B2,2026-03-04,4,RAIL,bolts\nC3,2026-03-04,5,SHED,plank\n"
)
RULES = "rule,priority,booked_to,booking_code,worker_id,note_contains,from\n"
VERSIONS = [
    (["a,1,FRAME,,A1,,2026-03-03"], 1),
    (["a,1,FRAME,SHED,,,"], 2),
    (["a,1,FRAME,,,bolts,"], 2),
    (["a,1,FRAME,,,bolts,", "b,2,RAIL,,C3,,"], 1),
    (["a,1,FRAME,,A1,,", "a,1,FRAME,,B2,,"], 4),
    (["a,1,FRAME,,,,2026-03-04"], 2),
]


@pytest.mark.slow
@pytest.mark.parametrize(("rules", "looked_at"), VERSIONS)
def test_only_entries_that_a_changed_rule_fits_are_placed_anew(
    stage: Yard, rules: list[str], looked_at: int
) -> None:
    """Those that it fitted before and those that it fits now; then nothing is left to move."""
    load_sheets(stage, SHEET_HEAD + MIXED)
    with WriteAccess(stage.book, "Tester").kept_open("test") as access:
        for number, rows in enumerate(rules):
            path = Path(stage.write(f"rules-{number}.csv", RULES + rows + "\n"))
            loads.load_rules(access, [path])
            assert access.book is not None
            found = access.book.execute("SELECT count(*) FROM staged_entry_chosen").fetchall()
        assert access.book is not None
        access.book.upto = access.book.resolve(None)
        stage_places(access.book)
        left = access.book.stage("difference", "sheets/posting_differences")

    assert [found[0][0], left] == [looked_at, 0]


def test_closed_entries_and_their_reason_go_together(stage: Yard) -> None:
    """Neither is taken without the other."""
    rows = "shed,1,DECK,SHED,x\n"

    assert load_rules(stage, rows, "--with-closed", ok=False) == ["give --reason"]
    assert load_rules(stage, rows, "--reason", "x", ok=False) == [
        "--reason is for --with-closed; give both or none"
    ]


@pytest.mark.slow
def test_a_trace_tells_who_tagged_and_why(stage: Yard) -> None:
    """Rules with the reason of the version that acted, tags with theirs, and tags taken back."""
    load_rules(stage, "shed,1,DECK,SHED,a part of the deck\n")
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    load_rules(stage, "shed,1,RAIL,SHED,a part of the rail\n")
    tag(stage, entry_of(stage), "--to", "FRAME")
    stage.run("withdraw", "fact", table(stage, "hand_tag")[0]["id"], "--reason", "it was the rail")
    events = stage.json("trace", entry_of(stage))["life"]

    assert [(each["event"], each["place"], each["detail"]) for each in events[2:]] == [
        ("posted", "STAGE DECK", "rule shed: a part of the deck"),
        ("posted", "STAGE DECK", "moved"),
        ("posted", "STAGE RAIL", "rule shed: a part of the rail"),
        ("tagged by hand", "STAGE FRAME", "asked the foreman"),
        ("posted", "STAGE RAIL", "moved"),
        ("posted", "STAGE FRAME", "hand"),
        ("tag taken back", events[-3]["place"], "it was the rail"),
        ("posted", "STAGE FRAME", "moved"),
        ("posted", "STAGE RAIL", "rule shed: a part of the rail"),
    ]
    assert {each["actor"] for each in events} == {"Tester"}


@pytest.mark.slow
def test_reasons_can_be_erased(stage: Yard) -> None:
    """What a person wrote goes, of a tag at once and of a rule once another has its place."""
    load_rules(stage, "shed,1,DECK,SHED,Ada always writes shed\n")
    old = table(stage, "rule")[0]["id"]
    load_rules(stage, "shed,1,DECK,SHED,an old word\n")
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    tag(stage, "--code", "SHED", "--to", "RAIL")
    for fact in (old, table(stage, "hand_tag")[0]["id"]):
        stage.run("erase", "text", fact, "--reason", "asked to")

    assert [row["reason"] for row in table(stage, "hand_tag")] == ["erased"]
    assert booked(stage) == {RAIL: 8 * HOUR}
    assert stage.run("check").exit_code == 0
