"""What is the yard's alone never reaches the owner: change it, and no byte of a page moves."""

import csv
import io
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.program import app
from ledger.reports.canonical import canonical_json
from ledger.reports.designs import KINDS
from ledger.reports.identity import StampShown
from ledger.reports.owner.build import build
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.rendering import render
from ledger.store.book import open_book
from tests._small_files import SAMPLE
from tests.conftest import Yard, slow_case
from tests.test_small_sample import commands

FIRST_INSTANT = datetime(2026, 4, 1, 8, tzinfo=UTC)
HELD_STAMP = StampShown(99, "0" * 64)
LETTERS = "bcdfghjklmnpqrstvwxz"
Row = dict[str, str]
Table = list[Row]

OTHER_JOB = """
    [job]
    code = "{code}"
    title = "{title}"
    owner = "{owner}"
    contract_sum = "{sum}"
    contract_date = 2026-02-02
    planned_start = 2026-02-16
    planned_finish = 2026-05-29
    contract_basis = "time_charge"
    """
PREMIUM = '[overtime]\ndaily_hours = "2"\npremium_percent = "{0}"\n'


@dataclass
class Secrets:
    """Invented values that only the yard may see; every text given out is kept in `said`."""

    dice: random.Random
    rates_from: str = "2026-01-01"
    said: list[str] = field(default_factory=list)

    def word(self) -> str:
        """Return a word that stands nowhere else."""
        return self.keep("".join(self.dice.choices(LETTERS, k=9)).capitalize())

    def rate(self) -> str:
        """Return a rate with four decimals of its own."""
        return self.keep(f"{self.dice.randint(11, 89)}.{self.dice.randrange(1001, 9999, 2)}")

    def hours(self) -> str:
        return f"{self.dice.randint(1, 9)}.{self.dice.choice(['25', '5', '75'])}"

    def keep(self, text: str) -> str:
        self.said.append(text)
        return text


def table(name: str) -> Table:
    return list(csv.DictReader(io.StringIO((SAMPLE / name).read_text(encoding="utf-8"))))


def text(rows: Table) -> str:
    out = io.StringIO()
    heads = list(dict.fromkeys(head for row in rows for head in row))
    writer = csv.DictWriter(out, heads, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


# -- the yard's own facts of the first job, changed ------------------------------------------------


def rates(rows: Table, secret: Secrets) -> Table:
    """Every cost of an hour is another, from another day; two workers have rates of their own."""
    own = [{"worker_id": worker, "trade": "", "grade": ""} for worker in ("A1", "C3")]
    since = {"effective_from": secret.rates_from}
    return [{**row, **since, "cost_per_hour": secret.rate()} for row in [*standing(rows), *own]]


def standing(rows: Table) -> Table:
    """Return one row for each trade and grade."""
    return list({(row["trade"], row["grade"]): row for row in rows}.values())


def estimate(rows: Table, secret: Secrets) -> Table:
    """Every package is estimated at another cost rate."""
    return [{**row, "cost_rate": secret.rate()} for row in rows]


def crew(rows: Table, secret: Secrets) -> Table:
    """Everybody has another name, grade and employment."""
    kinds = ("hourly", "salaried", "agency", "subcontract")
    names = {row["worker_id"]: f"{secret.word()} {secret.word()}" for row in rows}
    return [
        {
            **row,
            "name": names[row["worker_id"]],
            "grade": secret.word(),
            "employment": secret.dice.choice(kinds),
            "supplier": secret.word(),
        }
        for row in rows
    ]


def noted(rows: Table, secret: Secrets) -> Table:
    """Every note is another; one that a rule looks for keeps the word it looks for."""
    return [
        {**row, "note": secret.word() + (" bench" if "bench" in row.get("note", "") else "")}
        for row in rows
    ]


def decided(rows: Table, secret: Secrets) -> Table:
    """Every note is another, and so is everybody who told the yard of a decision.

    Who gave an order stays: the letter that confirms it names them to the owner.
    """
    return [
        row if row["event"] == "instructed" else {**row, "person": secret.word()}
        for row in noted(rows, secret)
    ]


def requests(rows: Table, secret: Secrets) -> Table:
    """Every request was taken down from somebody else."""
    return [{**row, "requested_by": secret.word()} for row in rows]


CHANGED: dict[str, Callable[[Table, Secrets], Table]] = {
    "rates.csv": rates,
    "estimate.csv": estimate,
    "crew.csv": crew,
    "progress.csv": noted,
    "changes.csv": requests,
    "change-events.csv": decided,
    "sheets-week-10.csv": noted,
    "sheets-week-11.csv": noted,
    "sheets-week-12.csv": noted,
}


# -- another owner's job ---------------------------------------------------------------------------


# Changes of the first job and of the other one alike.
SHARED_CODES = {"CR1", "DW1"}


def other_job(yard: Yard, secret: Secrets) -> Iterator[list[object]]:
    """Yield the commands that build a second job, its codes partly those of the first."""
    code = secret.word().upper()
    title, owner = secret.word(), secret.word()
    price = f"{secret.dice.randint(10_000, 99_999)}.00"
    job = OTHER_JOB.format(code=code, title=title, owner=owner, sum=price)
    yield ["load", "job", yard.write("other/job.toml", job)]
    premium = PREMIUM.format(secret.dice.randint(10, 90))
    yield ["load", "settings", yard.write("other/premium.toml", premium)]
    for what, rows in other_tables(code, secret).items():
        for_job = [] if what in {"crew", "rates", "rules"} else ["--job", code]
        path = yard.write(f"other/{what}.csv", text(rows))
        yield ["load", what, *for_job, path]
        if what == "estimate":
            yield ["freeze", "--job", code, "--on", "2026-02-09"]


def other_tables(code: str, secret: Secrets) -> dict[str, Table]:
    workers = [secret.word().upper() for _ in range(2)]
    trades = ("carpenter", "labourer")
    change = secret.word().upper()
    since = {"effective_from": "2026-01-01"}
    return {
        "crew": [
            {"worker_id": w, "name": secret.word(), "trade": t, "grade": secret.word()}
            for w, t in zip(workers, trades, strict=True)
        ],
        "rates": [
            {"worker_id": w, "trade": t, "cost_per_hour": secret.rate(), **since}
            for w, t in zip(workers, trades, strict=True)
        ],
        "charge-rates": [{"trade": t, "charge_per_hour": secret.rate(), **since} for t in trades],
        "estimate": [other_package(p, t, secret) for p in ("DECK", "KEEL") for t in trades],
        "changes": [
            *(other_change(c, secret) for c in ("CR1", change)),
            other_change("DW1", secret) | {"change_basis": "daywork"},
        ],
        "change-lines": [other_line(c, t, secret) for c in ("CR1", change) for t in trades],
        "change-events": [
            other_event("CR1", "priced", "2026-03-09", secret),
            other_event("CR1", "approved", "2026-03-11", secret),
            other_event(change, "instructed", "2026-03-12", secret),
        ],
        "rules": [
            {
                "rule": secret.word(),
                "priority": "5",
                "booked_to": "KEEL",
                "note_contains": "bench",
                "job": code,
            }
        ],
        "progress": [
            {"work_package": "DECK", "date": "2026-03-27", "percent": "35", "note": secret.word()}
        ],
        "sheets": [
            other_sheet(worker, place, secret)
            for worker in (*workers, "A1", "C3")
            for place in ("DECK", "KEEL", "CR1", change, "DW1", "RAIN", secret.word().upper())
        ],
        "daywork-items": [other_item(secret) for _ in range(2)],
        "daywork-sheets": [other_daywork_sheet(secret)],
    }


def other_item(secret: Secrets) -> Row:
    return {
        "change": "DW1",
        "date": f"2026-03-{secret.dice.randint(2, 27):02}",
        "cost_kind": "plant",
        "description": secret.word(),
        "quantity": "2",
        "unit": "day",
        "unit_cost": secret.rate(),
    }


def other_daywork_sheet(secret: Secrets) -> Row:
    days = {"from": "2026-03-01", "to": "2026-03-27", "agreed_on": "2026-03-30"}
    row = {"daywork_sheet": secret.word(), "change": "DW1", **days}
    return {**row, "mark": "agreed", "person": secret.word()}


def other_package(name: str, trade: str, secret: Secrets) -> Row:
    return {
        "work_package": name,
        "title": f"Part {name}",
        "control_account": "structure",
        "trade": trade,
        "budget_hours": str(secret.dice.randint(40, 400)),
        "planned_start": "2026-02-16",
        "planned_finish": "2026-04-30",
        "technique": "percent_complete",
        "cost_rate": secret.rate(),
    }


def other_change(code: str, secret: Secrets) -> Row:
    return {
        "change": code,
        "title": secret.word(),
        "requested_by": secret.word(),
        "requested_on": "2026-03-05",
        "change_basis": "fixed_price",
        "description": secret.word(),
    }


def other_line(change: str, trade: str, secret: Secrets) -> Row:
    return {
        "change": change,
        "price_kind": "labour",
        "description": secret.word(),
        "trade": trade,
        "hours": secret.hours(),
    }


def other_event(change: str, event: str, day: str, secret: Secrets) -> Row:
    names = {"person": secret.word(), "reference": secret.word(), "note": secret.word()}
    return {"change": change, "event": event, "date": day, **names}


def other_sheet(worker: str, place: str, secret: Secrets) -> Row:
    day = f"2026-03-{secret.dice.randint(2, 27):02}"
    return {
        "sheet": f"{worker}-x",
        "worker_id": worker,
        "date": day,
        "hours": secret.hours(),
        "booking_code": place,
        # The rule looks for the word; on a change it would take the hours away.
        "note": secret.word() + (" bench" if place == "RAIN" else ""),
        "rework": "" if place in SHARED_CODES else secret.dice.choice(["", "setting_out"]),
    }


# -- daywork of the first job ----------------------------------------------------------------------

# What is the yard's alone stands in braces: who said and signed it, notes, why hours were struck.
DAYWORK = {
    "changes": "change,title,requested_by,requested_on,change_basis\n"
    "DW1,Rail,{person},2026-03-02,daywork\n",
    "change-lines": "change,price_kind,description,trade,hours\nDW1,labour,Rail,carpenter,4\n",
    "change-events": "change,event,date,person\nDW1,approved,2026-03-04,{person}\n",
    "sheets": "sheet,worker_id,date,hours,booking_code,note\n"
    "A1-dw,A1,2026-03-10,5,DW1,{note}\nB2-dw,B2,2026-03-10,3,DW1,{note}\n",
    "daywork-items": "change,date,cost_kind,description,quantity,unit,unit_cost\n"
    "DW1,2026-03-10,material,Oak,2,m,55.50\n",
    "daywork-sheets": "daywork_sheet,change,from,to,agreed_on,mark,person,worker_id,date,"
    "agreed_hours,reason\nD1,DW1,2026-03-09,2026-03-13,2026-03-16,agreed,{person},A1,2026-03-10,4,"
    "{note}\n",
}


def daywork(yard: Yard, secret: Secrets | None, cost: str = "55.50") -> Iterator[list[object]]:
    """Yield the commands that load daywork of the first job, with words of the yard's own."""
    for what, rows in DAYWORK.items():
        words = {name: secret.word() if secret else "As it is" for name in ("person", "note")}
        path = yard.write(f"daywork/{what}.csv", rows.format(**words).replace("55.50", cost))
        yield ["load", what, "--job", "STAGE", path]


# -- two books -------------------------------------------------------------------------------------


class Rehearsal:
    """A rehearsal book of the small sample, each file read as it is or as changed."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.yard = Yard(folder)
        self.instant = FIRST_INSTANT
        new = ["--book", str(self.yard.book), "--recorded-at", self.instant.isoformat()]
        assert CliRunner().invoke(app, [*new, "new", "--rehearsal"]).exit_code == 0

    def run(self, instant: datetime, *words: object) -> None:
        self.yard.run("--recorded-at", instant.isoformat(), *words)

    def build(self, files: dict[str, Path], others: list[list[object]]) -> "Rehearsal":
        """Load the sample, a command a minute; the others come in between, in their order."""
        sample = commands()[1:]
        for minute, words in enumerate(sample, start=1):
            instant = FIRST_INSTANT + timedelta(minutes=minute)
            self.run(instant, *[files.get(word, word) for word in words])
            share = len(others) * minute // len(sample)
            begun = len(others) * (minute - 1) // len(sample)
            for second, other in enumerate(others[begun:share], start=1):
                self.run(instant + timedelta(seconds=second), *other)
        return self

    def work_by_the_day(self, secret: Secrets | None, cost: str = "55.50") -> "Rehearsal":
        """Load daywork of the first job after all the rest."""
        begun = FIRST_INSTANT + timedelta(hours=9)
        for minute, words in enumerate(daywork(self.yard, secret, cost)):
            self.run(begun + timedelta(minutes=minute), *words)
        return self

    def view(self) -> OwnerVariations:
        """Return the owner's statement of the first job with its stamp held fixed."""
        with open_book(self.yard.book) as book:
            made = build(book, "STAGE", None)
        return replace(made, known_at=HELD_STAMP, remade_by="fairhours")


def sample_files(folder: Path, secret: Secrets | None) -> dict[str, Path]:
    """Return where each file of the sample is read from: written anew where it is changed."""
    found = {path.name: path for path in SAMPLE.iterdir()}
    for name, change in CHANGED.items():
        if secret is None:
            break
        found[name] = folder / name
        found[name].write_text(text(change(table(name), secret)), encoding="utf-8")
    return found


def rendered(view: OwnerVariations) -> dict[str, bytes]:
    return {kind: render(view, kind, recorded_at=FIRST_INSTANT) for kind in KINDS}


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Rehearsal:
    """The sample as it stands, with no other job in the book."""
    folder = tmp_path_factory.mktemp("plain")
    return Rehearsal(folder).build(sample_files(folder, None), []).work_by_the_day(None)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("throw", "rates_from"),
    # The last has no rate for the days worked: the yard's cost is not defined at all.
    [(1, "2026-01-01"), (2, "2026-01-15"), (3, "2026-12-01")],
)
def test_what_is_the_yards_never_reaches_the_owner(
    tmp_path: Path, plain: Rehearsal, throw: int, rates_from: str
) -> None:
    """Other costs, names, notes and a whole other job leave every format's bytes as they are."""
    secret = Secrets(random.Random(throw), rates_from)
    changed = Rehearsal(tmp_path)
    files = sample_files(tmp_path, secret)
    changed.build(files, list(other_job(changed.yard, secret))).work_by_the_day(secret)
    expected, actual = plain.view(), changed.view()
    shown = canonical_json(actual).decode()

    assert [each.daywork is not None for each in expected.details].count(True) == 1
    assert len(set(secret.said)) > 100
    assert others_changes(changed) >= SHARED_CODES
    assert labour_cost(changed) != labour_cost(plain)
    assert [word for word in secret.said if word.casefold() in shown.casefold()] == []
    assert actual == expected
    assert [k for k, v in rendered(actual).items() if v != rendered(expected)[k]] == []


@pytest.mark.slow
def test_at_a_fixed_price_the_yards_hours_are_its_own_affair(tmp_path: Path) -> None:
    """Hours worked, lost, done again and forecast on base work move no byte where not agreed."""
    views = []
    for folder, moved in (("as-it-is", {}), ("otherwise", YARDS_OWN)):
        files = sample_files(tmp_path, None)
        for name, edits in ({"job.toml": NOT_AGREED} | moved).items():
            text_of = files[name].read_text(encoding="utf-8")
            for old, new in edits.items():
                assert old in text_of
                text_of = text_of.replace(old, new)
            files[name] = tmp_path / folder / name
            files[name].parent.mkdir(exist_ok=True)
            files[name].write_text(text_of, encoding="utf-8")
        views.append(Rehearsal(tmp_path / folder).build(files, []).view())
    plain_view, changed = views

    assert plain_view.headline is None
    assert [row.step for row in plain_view.hours] == ["approved_variations", "omissions"]
    assert rendered(changed) == rendered(plain_view)


# Without the line, a fixed price shows the owner nothing of how the job's own hours run.
NOT_AGREED = {"owner_sees_overrun = true": ""}
YARDS_OWN = {
    "sheets-week-12.csv": {"A1,2026-03-16,6,DECK": "A1,2026-03-16,7,DECK"},
    "estimate.csv": {"structure,carpenter,40,": "structure,carpenter,44,"},
}


def others_changes(made: Rehearsal) -> set[str]:
    """Return the changes of all jobs but the first on which hours are booked."""
    with open_book(made.yard.book) as book:
        jobs = [row["job"] for row in book.current("job") if row["job"] != "STAGE"]
        worked = [
            book.records("owner/worked_trades", job=job, status_date=FIRST_INSTANT.date())
            for job in jobs
        ]
    return {row["change"] for rows in worked for row in rows}


def labour_cost(made: Rehearsal) -> object:
    """Return what the yard alone sees: budget and actual cost of the first job."""
    answer = made.yard.json("performance", "--job", "STAGE", "--in", "cost")
    return [answer["rows"][0][name] for name in ("bac", "ac")]


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        slow_case("charge-rates.csv", "60.00", "61.00"),
        slow_case("changes.csv", "Bench along", "Seat along"),
        slow_case("sheets-week-12.csv", "A1,2026-03-16,6,DECK", "A1,2026-03-16,7,DECK"),
    ],
)
def test_what_is_the_owners_moves_their_pages(
    tmp_path: Path, plain: Rehearsal, name: str, old: str, new: str
) -> None:
    """A charge, a title or an hour that the owner is shown changes their statement: it is read."""
    files = sample_files(tmp_path, None)
    before = files[name].read_text(encoding="utf-8")
    files[name] = tmp_path / name
    files[name].write_text(before.replace(old, new), encoding="utf-8")
    changed = Rehearsal(tmp_path).build(files, []).work_by_the_day(None)

    assert old in before
    assert canonical_json(changed.view()) != canonical_json(plain.view())


@pytest.mark.slow
def test_what_daywork_comes_to_is_the_owners(tmp_path: Path, plain: Rehearsal) -> None:
    """The cost of an item used on daywork is what the owner pays for: it moves the statement."""
    made = Rehearsal(tmp_path).build(sample_files(tmp_path, None), [])
    changed = made.work_by_the_day(None, "56.50").view()
    expected = plain.view()
    prices = [
        next(row.price for row in view.changes if row.change == "DW1")
        for view in (expected, changed)
    ]

    # 4 + 3 h at 60.00 and 2 m: 111.00, or 113.00.
    assert prices == [Decimal("531.00"), Decimal("533.00")]
    assert rendered(changed)["html"] != rendered(expected)["html"]
