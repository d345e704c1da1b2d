"""Changes entered by commands: the same facts as their files load, guarded, with files attached."""

import shutil

import pytest
from typer.testing import CliRunner

from ledger.cli import asking, changes
from ledger.cli.program import app
from ledger.domain.numbering import next_code
from ledger.store.batches import Writing, batch
from ledger.store.book import open_book
from ledger.store.locking import Holder
from tests._stage import JOB, SAMPLE, batches, load, table
from tests.conftest import Yard
from tests.inputs._moves import FROZEN_ON, freeze, postings, price, request, tell

LIST = """
[[authority]]
person = "Jonna Merrick"
up_to = "900.00"

[[authority]]
person = "Ada Brunt"
may = ["approve"]
"""
WHERE = {"id", "batch", "row", "place"}
RAIL = ("--labour", "carpenter=12", "--labour", "labourer=4", "--material", "Ash rail=10 m x 25.00")
# What 12 h of a carpenter at 60.00, 4 h at 40.00 and 10 m at 25.00 come to.
PRICE = "EUR 1\N{NO-BREAK SPACE}130.00"


def do(yard: Yard, command: str, *words: object, ok: bool = True) -> str:
    """Run a command about a change of the sample's job and return what was said."""
    return yard.run(*command.split(), "--job", JOB, *words, ok=ok).stderr


def facts(yard: Yard, name: str) -> list[dict[str, str]]:
    """Return the rows of a fact table without where they stand in the book."""
    return [
        {key: value for key, value in row.items() if key not in WHERE} for row in table(yard, name)
    ]


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job with its charge rates, frozen, and nobody listed to act for the owner."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    return freeze(stage)


def listing(yard: Yard, more: str = "") -> Yard:
    """Let the job list who may instruct and approve."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    yard.run("load", "job", yard.write("job.toml", f"{card}\n{more}{LIST}"))
    return yard


def test_commands_write_the_facts_that_files_load(
    job: Yard, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A change entered, priced, sent, approved and completed by commands is as one from files."""
    by_files = Yard(tmp_path_factory.mktemp("files"))
    shutil.copyfile(job.book, by_files.book)
    title = ("--title", "A ladder", "--requested-by", "Jonna Merrick", "--basis", "fixed_price")
    do(job, "request change", "CR1", *title, "--requested-on", "2026-03-09")
    do(job, "enter price", "CR1", *RAIL, "--omit", "DECK=10", "--date", "2026-03-11")
    do(job, "submit price", "CR1", "--date", "2026-03-12", "--valid-until", "2026-03-31")
    yes = ("--person", "Jonna Merrick", "--reference", "letter", "--date", "2026-03-16")
    do(job, "approve change", "CR1", *yes)
    do(job, "complete change", "CR1", "--date", "2026-03-27")
    load(
        by_files,
        "changes",
        "change,title,requested_by,requested_on,change_basis\n"
        "CR1,A ladder,Jonna Merrick,2026-03-09,fixed_price\n",
    )
    load(
        by_files,
        "change-lines",
        "change,price_kind,description,revision,trade,hours,quantity,unit,unit_price,work_package\n"
        "CR1,labour,A ladder,1,carpenter,12,,,,\n"
        "CR1,labour,A ladder,1,labourer,4,,,,\n"
        "CR1,labour,A ladder,1,,-10,,,,DECK\n"
        "CR1,material,Ash rail,1,,,10,m,25.00,\n",
    )
    load(
        by_files,
        "change-events",
        "change,event,date,person,revision,reference,valid_until\n"
        "CR1,priced,2026-03-11,Tester,1,,\n"
        "CR1,submitted,2026-03-12,Tester,1,,2026-03-31\n"
        "CR1,approved,2026-03-16,Jonna Merrick,1,letter,\n"
        "CR1,complete,2026-03-27,Tester,1,,\n",
    )

    for name in ("change", "change_line", "change_event", "budget_posting", "plan_posting"):
        assert facts(job, name) == facts(by_files, name), name
    job.run("check")


def test_what_a_command_says_is_where_the_change_stands(job: Yard) -> None:
    """Each command ends with the state, revision, hours, price and days of the change."""
    title = ("--title", "A ladder", "--requested-by", "Jonna", "--basis", "fixed_price")
    day = ("--date", "2026-03-12")

    assert do(job, "request change", *title, "--requested-on", "2026-03-09") == (
        "CR1, A ladder: price requested; not instructed\n"
    )
    # 12 h at 60.00 + 4 h at 40.00 + 10 m at 25.00 = 720 + 160 + 250.
    assert do(job, "enter price", "CR1", *RAIL, *day) == (
        f"CR1, A ladder: price priced, revision 1; 16.00 h; {PRICE}; not instructed\n"
    )
    assert do(job, "submit price", "CR1", *day, "--days-requested", "1") == (
        f"CR1, A ladder: price submitted, revision 1; 16.00 h; {PRICE}; not instructed; "
        "1 day requested\n"
    )
    assert do(job, "enter price", "cr1", "--labour", "carpenter=10", *day) == (
        f"CR1, A ladder: price submitted, revision 1; 16.00 h; {PRICE}; not instructed; "
        "1 day requested\n"
    )
    # The answer is to the price that was sent, not to the one drawn up since.
    assert do(job, "approve change", "CR1", *day, "--person", "J", "--reference", "mail") == (
        f"CR1, A ladder: price approved, revision 1; 16.00 h; {PRICE}; 1 day requested\n"
    )
    assert [row["revision"] for row in table(job, "change_line")] == ["1", "1", "1", "2"]


REFUSED = {
    "nobody it could be of": (
        ("stop change", "Q9", "--person", "Jonna"),
        'job STAGE: there is no change "Q9"; `fairhours changes --job STAGE` lists them\n',
    ),
    "a package's code": (
        ("request change", "deck", "--title", "x", "--requested-by", "y", "--basis", "daywork"),
        "number: the code DECK is taken in job STAGE by a package; rename one\n",
    ),
    "a number twice": (
        ("request change", "Q1", "--title", "x", "--requested-by", "y", "--basis", "daywork"),
        "job STAGE: change Q1 already exists; leave the number out to take the next one, or reword "
        "it by `load changes`\n",
    ),
    "what is missing": (
        ("approve change", "Q1"),
        "give --person, --reference\n",
    ),
    "a day that is none": (
        ("stop change", "Q1", "--person", "Jonna", "--date", "2026-3-9"),
        'date "2026-3-9" is not a date; write it as 2026-05-31\nnothing was written\n',
    ),
    "a move that may not follow": (
        ("dispute price", "Q1", "--person", "Jonna", "--date", "2026-03-10"),
        "Q1: disputed on 2026-03-10 is not allowed with price requested, instruction none; "
        "allowed: priced, submitted, approved, declined, withdrawn, instructed, complete, "
        "time_decided, notified\nnothing was written\n",
    ),
    "a line that cannot be read": (
        ("enter price", "Q1", "--labour", "carpenter 12"),
        '"carpenter 12" cannot be read; write it as carpenter=12 or carpenter/senior=7:30\n',
    ),
    "a price without lines": (
        ("enter price", "Q1", "--date", "2026-03-10"),
        "Q1 has no lines of revision 1; `fairhours load change-lines` first\nnothing was written\n",
    ),
    "a value of a fixed price": (
        ("agree value", "Q1", "--amount", "900", "--person", "Jonna"),
        "value_agreed is for daywork only, and Q1 is fixed_price; leave it out\n"
        "nothing was written\n",
    ),
    "an order that needs no confirmation": (
        ("confirm instruction", "Q1", "--person", "Jonna Merrick", "--date", "2026-03-12"),
        "Q1: no instruction awaits confirmation on 2026-03-12; it counts already\n"
        "nothing was written\n",
    ),
}


def test_a_command_that_cannot_be_done_says_why_and_writes_nothing(job: Yard) -> None:
    """Each refusal is one clear message; no batch is added."""
    request(job, "Q1")
    tell(job, "Q1,instructed,2026-03-11")
    before = batches(job)
    said = {}
    for name, (words, _) in REFUSED.items():
        command, *rest = words
        said[name] = do(job, command, *rest, ok=False)

    assert said == {name: message for name, (_, message) in REFUSED.items()}
    assert batches(job) == before


def test_an_approval_needs_a_listed_person_their_limit_and_a_reference(job: Yard) -> None:
    """A command refuses any other, names what is lacking and who may; Ada has no limit."""
    listing(job)
    request(job, "Q1")
    price(job, "Q1,1,carpenter,20")  # 20 h at 60.00: 1,200.00
    tell(job, "Q1,submitted,2026-03-10")
    by = {
        name: ("--person", name, "--reference", "mail", "--date", "2026-03-12")
        for name in ("A guest", "Jonna Merrick", "ada  BRUNT")
    }
    guest = do(job, "approve change", "Q1", *by["A guest"], ok=False)
    jonna = do(job, "approve change", "Q1", *by["Jonna Merrick"], ok=False)
    ada = do(job, "approve change", "Q1", *by["ada  BRUNT"])

    assert guest == (
        'Q1: "A guest" may not approve changes of this job; Jonna Merrick or Ada Brunt may\n'
        "nothing was written\n"
    )
    assert jonna == (
        "Q1: 1200.00 is above the 900.00 that Jonna Merrick may approve\nnothing was written\n"
    )
    assert ada.startswith("Q1, Something else: price approved")


def test_a_history_is_loaded_as_it_was_and_what_an_approval_lacks_is_said(job: Yard) -> None:
    """Files are no moment to refuse what was approved: it counts, to be looked into."""
    listing(job)
    request(job, "Q1", "Q2")
    price(job, "Q1,1,carpenter,20", "Q2,1,carpenter,2")
    said = tell(job, "Q1,approved,2026-03-12", "Q2,approved,2026-03-12")

    assert [line for line in said.splitlines() if "look into" in line] == [
        "change-events.csv: to look into: Q1: 1200.00 is above the 900.00 that Jonna Merrick may "
        "approve",
        "change-events.csv: to look into: Q1: approved without a reference; "
        "name the letter, mail or minutes (--reference)",
        "change-events.csv: to look into: Q2: approved without a reference; "
        "name the letter, mail or minutes (--reference)",
    ]
    assert len(postings(job, "budget_posting", "approval")) == 2


def marks(yard: Yard) -> dict[str, int]:
    """Return the hours of the sample's job borne by marks that a change can have."""
    borne = yard.json("overrun", "--job", JOB, "--status-date", "2026-03-20")["borne_by"]
    return {mark: int(borne[mark]) for mark in ("instructed_price_open", "at_risk")}


def test_an_order_of_anybody_else_counts_once_it_is_confirmed(job: Yard) -> None:
    """Its hours are the yard's risk until a listed person confirms it, with somebody who may."""
    listing(job)
    request(job, "Q1")
    price(job, "Q1,1,carpenter,8")
    sheet = job.write("s.csv", "worker_id,date,hours,booking_code\nA1,2026-03-12,3,Q1\n")
    job.run("load", "sheets", "--job", JOB, sheet)
    order = ("--person", "A guest", "--note", "on the quay", "--date", "2026-03-11")
    said = do(job, "instruct change", "Q1", *order)
    waiting = marks(job)
    by_ada = do(job, "confirm instruction", "Q1", "--person", "Ada Brunt", ok=False)
    do(job, "confirm instruction", "Q1", "--person", "Jonna Merrick", "--date", "2026-03-13")

    assert said.splitlines() == [
        "Q1: instruction received from A guest, confirmation awaited: it counts once "
        "Jonna Merrick confirms it",
        "Q1, Something else: price requested, revision 1; 8.00 h; EUR 480.00; "
        "instruction awaits confirmation",
        "to put it in writing: `fairhours issue instruction-confirmation --job STAGE Q1 "
        "--out confirmation.pdf`",
    ]
    assert by_ada == (
        'Q1: "Ada Brunt" may not instruct; only Jonna Merrick may\nnothing was written\n'
    )
    assert waiting == {"instructed_price_open": 0, "at_risk": 3}
    assert marks(job) == {"instructed_price_open": 8, "at_risk": 0}


def test_an_order_above_the_limit_waits_and_silence_can_confirm_it(job: Yard) -> None:
    """A limit is held against the latest price; silence confirms after the days of the contract."""
    listing(job, "silence_confirms_days = 7\n")
    request(job, "Q1")
    price(job, "Q1,1,carpenter,20")
    said = do(job, "instruct change", "Q1", "--person", "Jonna Merrick", "--date", "2026-03-11")

    assert said.splitlines()[0] == (
        "Q1: instruction received from Jonna Merrick, confirmation awaited: it counts once "
        "Jonna Merrick confirms it, or silence from 2026-03-19"
    )
    assert marks(job) == {"instructed_price_open": 20, "at_risk": 0}


@pytest.mark.slow
def test_an_attached_file_is_kept_by_its_content_and_checked(job: Yard) -> None:
    """A scan is kept once however often it is attached; it can be erased, and `check` holds."""
    request(job, "Q1")
    scan = job.write("signed.pdf", "signed")
    order = ("--person", "Jonna", "--date", "2026-03-11", "--attach", scan)
    first = do(job, "instruct change", "Q1", *order)
    before = batches(job)
    again = do(job, "instruct change", "Q1", *order)
    same = batches(job) == before
    do(job, "enter price", "Q1", "--labour", "carpenter=8", "--attach", scan)
    attached = table(job, "attachment")
    kept = table(job, "content")
    job.run("check")
    save = ("save", "attachment", attached[0]["id"], "--out", job.folder / "out.pdf")
    saved = job.run(*save).stderr
    job.run("erase", "text", kept[0]["id"], attached[0]["id"], "--reason", "a private letter")
    job.run("check")

    assert first.startswith("Q1: attached signed.pdf\n")
    assert (job.folder / "out.pdf").read_text(encoding="utf-8") == "signed"
    assert saved == f"{job.folder / 'out.pdf'}: 6 bytes\n"
    assert job.run(*save, ok=False).stderr == f"{attached[0]['id']}: the file was erased\n"
    assert again.startswith("already recorded: ")
    assert same
    assert [(row["event"], row["name"]) for row in attached] == [
        ("instructed", "signed.pdf"),
        ("priced", "signed.pdf"),
    ]
    assert len(kept) == 1


def test_an_attachment_without_its_file_fails_the_check(job: Yard) -> None:
    """A row that names a file by a digest that the book has no content of is found and named."""
    request(job, "Q1")
    row = {"job": JOB, "change": "Q1", "name": "letter.pdf", "sha256": "0" * 64}
    writing = Writing("T", "test")
    with (
        open_book(job.book, writer=Holder("T", "test")) as book,
        batch(book, writing) as open_batch,
    ):
        open_batch.append("attachment", {name: [value] for name, value in row.items()})
    said = job.run("check", ok=False).stderr

    assert "attachment: batch " in said
    assert "row 1 names a file that is not in the book" in said


def test_a_file_that_cannot_be_attached_refuses_the_whole(job: Yard) -> None:
    """A missing scan leaves nothing written, neither the event nor another file."""
    request(job, "Q1")
    before = batches(job)
    order = ("--person", "Jonna", "--attach", job.folder / "no.pdf")
    said = do(job, "instruct change", "Q1", *order, ok=False)

    assert "no.pdf" in said
    assert batches(job) == before


NUMBERS = [
    ([], "CR1"),
    (["V-06"], "V-07"),
    (["CR1", "CR9", "CR10"], "CR11"),
    (["CR01", "CR02"], "CR04"),  # CR03 is taken by a package
    (["ladder", "7"], "8"),
    (["A1", "B9", "A2"], "A3"),
]


@pytest.mark.parametrize(("codes", "proposed"), NUMBERS)
def test_the_number_proposed_goes_on_in_the_jobs_scheme(codes: list[str], proposed: str) -> None:
    """The next number is written as the last one is, as wide, and no other code of the job."""
    assert next_code(codes, {*codes, "CR03"}, "CR1") == proposed


def test_on_a_terminal_what_is_missing_is_asked_for(
    job: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The number is proposed, an answer that does not fit is asked again, an empty line ends."""
    for module in (asking, changes):
        monkeypatch.setattr(module, "on_terminal", lambda: True)

    def typed(*words: str, keys: str) -> str:
        command = ["--book", str(job.book), *words]
        result = CliRunner().invoke(app, command, input=keys)
        assert result.exit_code == 0, result.stderr
        return result.stderr

    asked = typed(
        *("request", "change", "--job", JOB, "--requested-on", "2026-03-09"),
        keys="\nA bench\nJonna\nfixed\nfixed_price\n\n",
    )
    priced = typed(
        *("enter", "price", "--job", JOB, "CR1", "--date", "2026-03-10"),
        keys="carpenter 8\ncarpenter=8\nmaterial Larch boards=6 m x 40\n\n",
    )
    words = "\n".join(line.strip() for line in (asked + priced).splitlines())

    assert 'change_basis "fixed" is unknown; use one of fixed_price, daywork, no_charge' in words
    assert (
        '"carpenter 8" cannot be read; write it as carpenter=12 or carpenter/senior=7:30' in words
    )
    assert words.endswith(
        "CR1, A bench: price priced, revision 1; 8.00 h; EUR 720.00; not instructed"
    )


def test_days_and_notices_are_facts_of_their_own(job: Yard) -> None:
    """Days are granted without a price, and a notice keeps its three days and its document."""
    request(job, "Q1")
    on = ("--date", "2026-03-12", "--person", "Jonna")
    told = do(job, "decide time", "Q1", "--days", "0", *on)
    do(job, "record notice", "Q1", *on, "--aware-on", "2026-03-10", "--document", "letter 9")
    strange = load(
        job,
        "change-events",
        "change,event,date,person,days_requested,document\nQ1,stopped,2026-03-12,Jonna,2,letter\n",
        ok=False,
    )
    decided, notice = table(job, "change_event")

    assert told == "Q1, Something else: price requested; not instructed; 0 days granted\n"
    assert (decided["event"], decided["days_granted"]) == ("time_decided", "0")
    assert (notice["event"], notice["aware_on"], notice["document"]) == (
        *("notified", "2026-03-10", "letter 9"),
    )
    assert strange.splitlines()[:2] == [
        "change-events.csv:2: days_requested belongs to submitted, not to stopped; leave it blank",
        "change-events.csv:2: document belongs to notified, not to stopped; leave it blank",
    ]


def test_the_agreed_completion_date_stays_after_the_freeze(stage: Yard) -> None:
    """A frozen job's completion date moves by days granted, not by loading the job again."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8").replace("[job]\n", "[job]\n{}\n", 1)
    stage.run("load", "job", stage.write("job.toml", card.format("completion_date = 2026-03-27")))
    stage.run("freeze", "--job", JOB, "--on", FROZEN_ON)
    later = stage.write("job.toml", card.format("completion_date = 2026-04-10"))

    assert stage.run("load", "job", later, ok=False).stderr == (
        "job.toml: the completion date 2026-03-27 of a frozen job changes only by days granted "
        "(`fairhours decide time --job STAGE CHANGE --days N`)\n"
    )
