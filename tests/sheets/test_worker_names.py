"""Workers by name: matched to the crew by name and alias, and held with the nearest names."""

import pytest

from ledger.store import batches
from tests._stage import JOB, booked, held, load_sheets, table
from tests.conftest import Yard, slow_beyond
from tests.sheets.test_erased_lines import holds

HEAD = "sheet,worker_name,date,hours,booking_code\n"
CREW = """worker_id,name,trade,grade
W7,Jon Hollis,carpenter,skilled
W8,Zoë Arnd,carpenter,skilled
W9,Jan Holm,carpenter,skilled
W10,Jan Holm,carpenter,skilled
"""
WHY = ("--reason", "asked the foreman")
NEAR = "; nearest: Jon Hollis (W7)"
OF_CREW = 'alias "{}" is the name of {} in the crew; correct the lines by worker_id'
UNKNOWN = 'worker_name "{}" is not in the crew; confirm an alias, or correct the worker_id{}'


def load_crew(yard: Yard) -> str:
    return yard.run("load", "crew", yard.write("crew.csv", CREW)).stderr


@pytest.fixture
def named(stage: Yard) -> Yard:
    """A book whose crew has two workers of one name."""
    load_crew(stage)
    return stage


def line(name: str, hours: str = "8", sheet: str = "S1") -> str:
    return f"{HEAD}{sheet},{name},2026-03-02,{hours},DECK\n"


# As written, the worker it is booked to, or the message with which it is held.
NAMES = [
    ("J. Hollis", None, UNKNOWN.format("J. Hollis", f"{NEAR}, Jan Holm (W10, W9)")),
    ("Jon Hollis", "W7", None),
    ("  JON   hollis ", "W7", None),
    ("Zoe\u0308 ARND", "W8", None),
    ("Hollis", None, UNKNOWN.format("Hollis", NEAR)),
    ("jan holm", None, 'worker_name "jan holm" is that of W10, W9; correct the worker_id'),
    ("Q", None, UNKNOWN.format("Q", "")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "worker", "message"), slow_beyond(3, NAMES))
def test_a_name_leads_to_the_worker_of_the_crew_who_has_it(
    named: Yard, name: str, worker: str | None, message: str | None
) -> None:
    """Case, composed letters and blanks aside; any other is held with the nearest names."""
    load_sheets(named, line(name))

    assert [row["worker_id"] for row in table(named, "entry")] == ([worker] if worker else [])
    assert [row["message"] for row in held(named)] == ([message] if message else [])


def test_a_list_that_names_workers_is_looked_at_for_marks_when_it_is_kept(
    named: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What stands for an unknown name begins with a mark; a list by worker_id holds none."""
    looked_at: list[set[str]] = []
    monkeypatch.setattr(batches, "refuse_marks", lambda _, names, __: looked_at.append({*names}))
    load_sheets(named, line("Hollis"))
    load_sheets(named, line("W7").replace("worker_name", "worker_id"), "by-id.csv")

    assert ["line" in tables for tables in looked_at] == [True, False]


@pytest.mark.slow
def test_a_confirmed_alias_books_what_was_held_for_it(named: Yard) -> None:
    """Of a list and a grid; what is loaded again is in the book already, by name or by id."""
    load_sheets(named, line("J. Hollis"))
    grid = "sheet,worker_name,week_starting,booking_code,mon,tue\nS2,hollis J,2026-03-09,DECK,7,\n"
    load_sheets(named, grid, "grid.csv")
    again = load_sheets(named, line("j. hollis") + "\n", "again.csv")
    said = named.run("confirm", "alias", "J.  HOLLIS", "Hollis J", "--worker", "w7", *WHY).stderr

    assert again["already_held"] == 1
    assert said.splitlines()[:2] == ["2 aliases of W7 confirmed", "2 held lines booked"]
    assert [(row["worker_id"], row["ms"]) for row in table(named, "entry")] == [
        ("W7", "28800000"),
        ("W7", "25200000"),
    ]
    by_id = load_sheets(named, line("W7").replace("worker_name", "worker_id"), "by-id.csv")
    by_name = load_sheets(named, line("Jon Hollis"), "by-name.csv")
    assert (by_id["already_booked"], by_name["already_booked"]) == (1, 1)
    assert named.run("check").exit_code == 0


REFUSED = [
    ("Zoë Arnd", "W7", OF_CREW.format("Zoë Arnd", "W8")),
    ("jan holm", "W9", OF_CREW.format("jan holm", "W10")),
    ("J", "W99", "worker W99 is not in the crew; `fairhours show crew` lists it"),
    (" ", "W7", "an alias is blank; write the name as the sheets have it"),
    ("Jo", "W8", 'alias "Jo" is confirmed for W7; withdraw that first, '
     "`fairhours show worker_alias` shows its id"),
]  # fmt: skip


@pytest.mark.slow
def test_an_alias_never_leads_to_two_workers(named: Yard) -> None:
    """A name of the crew, or one confirmed for another worker, is refused; nothing is recorded."""
    named.run("confirm", "alias", "Jo", "--worker", "W7", *WHY)
    said = [
        named.run("confirm", "alias", alias, "--worker", worker, *WHY, ok=False).stderr.strip()
        for alias, worker, _ in REFUSED
    ]

    assert said == [message for *_, message in REFUSED]
    assert len(table(named, "worker_alias")) == 1


@pytest.mark.slow
@pytest.mark.parametrize("order", slow_beyond(1, ["name, crew", "crew, name"]))
def test_the_order_of_loading_does_not_decide_who_worked(stage: Yard, order: str) -> None:
    """A sheet by name and the same by id are one line, whichever and the crew come first."""
    for each in order.split(", "):
        if each == "crew":
            load_crew(stage)
        else:
            load_sheets(stage, line("Jon Hollis"), "by-name.csv")
            load_sheets(stage, line("W7").replace("worker_name", "worker_id"), "by-id.csv")

    assert [row["worker_id"] for row in table(stage, "entry")] == ["W7"]
    assert held(stage) == []
    assert sum(booked(stage).values()) == 28_800_000
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_a_sheet_by_unknown_names_that_comes_in_again_is_a_reissue(named: Yard) -> None:
    """Once the name is known the later issue waits, and confirming it reverses the earlier."""
    load_sheets(named, line("J. Hollis"), "first.csv")
    load_sheets(named, line("J. Hollis", "6"), "second.csv")
    named.run("confirm", "alias", "J. Hollis", "--worker", "W7", *WHY)
    (waiting,) = held(named)
    named.run("confirm", "reissue", waiting["held_line"], *WHY)

    assert waiting["reason"] == "re_issue"
    assert sum(booked(named).values()) == 21_600_000
    assert [row["worker_id"] for row in table(named, "reissued_line")] == [""]
    assert named.run("check").exit_code == 0


def reissue_of(yard: Yard) -> str:
    return table(yard, "reissued_line")[0]["id"].removeprefix("reissued_line:")


BY_ID = line("W7").replace("worker_name", "worker_id")
BY_NAME = line("J. Hollis", "6")
BY_NAMES = line("Hollis J", "6")


@pytest.mark.parametrize(
    ("files", "now", "confirmed"),
    slow_beyond(
        1,
        [
            ([BY_ID, BY_NAME], 8, 6),
            ([BY_NAME, BY_ID], 8, 6),
            # The line that both have stays, the one of 2 h is new.
            ([BY_ID, line("J. Hollis") + "S1,J. Hollis,2026-03-02,2,DECK\n"], 8, 10),
            ([line("J. Hollis"), BY_NAMES], 8, 6),
            # Of another sheet, and of another day, both count.
            ([BY_ID, line("J. Hollis", "6", "S2")], 14, None),
            ([BY_ID, BY_NAME.replace("03-02", "03-03")], 14, None),
        ],
    ),
)
def test_a_sheet_by_id_and_by_unknown_name_with_other_hours_is_a_reissue(
    named: Yard, files: list[str], now: int, confirmed: int | None
) -> None:
    """Once the name is known its lines wait, so that no worker-day counts twice unseen."""
    for number, text in enumerate(files):
        load_sheets(named, text, f"{number}.csv")
    said = named.run("confirm", "alias", "J. Hollis", "Hollis J", "--worker", "W7", *WHY).stderr

    assert sum(booked(named).values()) == now * 3_600_000
    assert ("as a re-issue" in said) == (confirmed is not None)
    assert [row["reason"] for row in held(named)] == ["re_issue"] * (confirmed is not None)
    if confirmed is not None:
        named.run("confirm", "reissue", reissue_of(named), *WHY)
        assert sum(booked(named).values()) == confirmed * 3_600_000
    assert held(named) == []
    assert named.run("check").exit_code == 0


@pytest.mark.slow
def test_lines_by_name_and_by_id_of_an_unknown_crew_are_compared_too(stage: Yard) -> None:
    """The crew comes last: the sheet by id is booked, the one by name waits; rejected, it ends."""
    load_sheets(stage, line("Jon Hollis", "6"), "by-name.csv")
    load_sheets(stage, BY_ID, "by-id.csv")
    said = load_crew(stage)
    (waiting,) = held(stage)
    stage.run("reject", "reissue", reissue_of(stage), *WHY)

    assert "1 held line booked\n1 line waits as a re-issue" in said
    assert (waiting["file"], waiting["reason"]) == ("by-name.csv", "re_issue")
    assert sum(booked(stage).values()) == 8 * 3_600_000
    assert held(stage) == []
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_a_reissue_in_part_by_an_unknown_name_becomes_whole(named: Yard) -> None:
    """Its line by a known name waits since the load; confirmed, both count and no other."""
    load_sheets(named, BY_ID, "by-id.csv")
    load_sheets(named, BY_NAME + "S1,Jon Hollis,2026-03-02,1,RAIL\n", "by-name.csv")
    named.run("confirm", "alias", "J. Hollis", "--worker", "W7", *WHY)
    before = [row["reason"] for row in held(named)]
    whole = table(named, "reissued_line")[-1]["id"].removeprefix("reissued_line:")
    named.run("confirm", "reissue", f"{whole.split('.')[0]}.1", *WHY)

    assert before == ["re_issue", "re_issue"]
    assert sum(booked(named).values()) == 7 * 3_600_000
    assert held(named) == []
    assert named.run("check").exit_code == 0


@pytest.mark.slow
def test_held_lines_that_a_known_name_matches_are_counted(named: Yard) -> None:
    """The same line by id is booked: the one by name ends, and the command says so."""
    load_sheets(named, BY_ID, "by-id.csv")
    load_sheets(named, line("J. Hollis"), "by-name.csv")
    said = named.run("confirm", "alias", "J. Hollis", "--worker", "W7", *WHY).stderr

    assert "1 held line matched: the worker is now known, the same hours are booked" in said


@pytest.mark.slow
def test_a_withdrawn_alias_leaves_what_it_booked(named: Yard) -> None:
    """Hours booked by it stay; lines loaded from then on are held."""
    named.run("confirm", "alias", "Jo", "--worker", "W7", *WHY)
    load_sheets(named, line("Jo"))
    alias = table(named, "worker_alias")[0]["id"]
    named.run("withdraw", "fact", alias, "--reason", "the wrong Jo")
    load_sheets(named, line("Jo", sheet="S2"), "more.csv")

    assert [row["worker_id"] for row in table(named, "entry")] == ["W7"]
    assert [row["reason"] for row in held(named)] == ["worker_unknown"]
    assert table(named, "worker_alias") == []


@pytest.mark.slow
def test_a_forgotten_worker_goes_with_aliases_and_lines_by_name(named: Yard) -> None:
    """Name and alias are nowhere in the book's bytes once no line waits; the hours stay."""
    load_sheets(named, line("Hollysen J"))
    named.run("confirm", "alias", "Hollysen J", "--worker", "W7", *WHY)
    before = holds(named, "Hollysen")
    told = named.run("forget", "worker", "W7", *WHY).stderr

    assert before
    assert "worker_alias:10.1: alias, reason erased" in told
    assert "held_text:9.1: raw, message erased" in told
    assert not holds(named, "Hollysen")
    assert not holds(named, "Jon Hollis")
    assert [row["worker_id"] for row in table(named, "entry")] == ["W7"]
    assert named.run("check").exit_code == 0


def test_no_name_stands_in_a_column_that_is_sealed_as_it_is(named: Yard) -> None:
    """Of a line held for its name the worker is left blank; an id beside a name counts."""
    load_sheets(named, line("Nobody Here"))
    both = "worker_id,worker_name,date,hours,booking_code\nW8,Jon Hollis,2026-03-03,8,DECK\n"
    load_sheets(named, both, "both.csv")

    assert [row["worker_id"] for row in table(named, "line")] == ["", "W8"]


GUESSED = [
    ("Name,Day,Hours,Code\nJon Hollis,2026-03-02,8,DECK\n", '[columns]\nworker_name = "Name"'),
    ("Worker,Day,Hours,Code\nJon Hollis,2026-03-02,8,DECK\n", '[columns]\nworker_name = "Worker"'),
    ("Name;Datum;Std;Code\nJon Hollis;2026-03-02;8;DECK\n", 'hours = "Std"'),
    ("No,Name,Day,Hours,Code\nW7,Jon Hollis,2026-03-02,8,DECK\n", '[columns]\nworker_id = "No"'),
]


@pytest.mark.parametrize(("text", "layout"), slow_beyond(1, GUESSED))
def test_a_column_of_names_is_guessed(named: Yard, text: str, layout: str) -> None:
    """A head that says so, or names where numbers were to be; the layout then reads the file."""
    path = named.write("week.csv", text)
    told = named.run("guess", "layout", path).stdout

    assert layout in told
    made = named.write("slip.toml", told)
    loaded = named.json("load", "sheets", "--job", JOB, "--layout", made, path)
    assert loaded["files"][0]["booked"] == 1
