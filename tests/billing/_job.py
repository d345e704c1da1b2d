"""A job to be claimed: a contract sum, its terms, changes and what may be claimed of them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.conftest import Yard

JOB = "CLAIM"
CARD = """
[job]
code = "CLAIM"
title = "A hall"
owner = "Owner"
contract_sum = "{contract_sum}"
contract_date = 2026-01-05
planned_start = 2026-01-12
planned_finish = 2026-03-27
{terms}
"""
SETTINGS = '[yard]\nname = "Yard"\ncurrency = "EUR"\n'
ESTIMATE = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique\n"
    "P1,Frame,build,craft,100,2026-01-12,2026-03-27,percent_complete\n"
    "P2,Fitting,build,craft,100,2026-01-12,2026-03-27,percent_complete\n"
)
CREW = "worker_id,name,trade\nA1,Ann,craft\n"
RATES = "trade,effective_from,cost_per_hour\n"
CHARGE_RATES = "trade,effective_from,charge_per_hour\ncraft,2026-01-01,50\n"
CHANGES = "change,title,requested_by,requested_on,change_basis\n"
LINES = "change,price_kind,description,quantity,unit,unit_price,trade,hours,work_package,"
LINES += "provisional_sum\n"
EVENTS = "change,event,date,person,reference,valid_until,not_to_exceed,agreed_value\n"
SHEETS = "worker_id,date,hours,booking_code,rework\n"
DAYWORK = "daywork_sheet,change,from,to,agreed_on,mark,person\n"
Claimed = Callable[..., "ClaimedJob"]


@dataclass
class ClaimedJob:
    """A yard with one job, frozen, which is claimed."""

    yard: Yard
    job: str = JOB

    def load(self, thing: str, text: str, *, ok: bool = True) -> str:
        """Load a file of the job and return what was said."""
        path = self.yard.write(f"{thing}.csv", text)
        return self.yard.run("load", thing, "--job", self.job, path, ok=ok).stderr

    def change(
        self, code: str, *lines: str, basis: str = "fixed_price", events: tuple[str, ...] = ()
    ) -> None:
        """Request, price and approve a change; lines: quantity, unit, price, and what may follow.

        A line that begins with `labour` gives trade and hours, and what may follow.
        """
        self.load("changes", f"{CHANGES}{code},Change {code},Owner,2026-01-12,{basis}\n")
        self.load("change-lines", LINES + "".join(map(_line, [code] * len(lines), lines)))
        self.events(*(events or (f"{code},approved,2026-01-13",)))

    def events(self, *rows: str) -> None:
        """Load events: change, event, date, and maybe valid_until, not_to_exceed, agreed_value."""
        written = []
        for row in rows:
            code, event, day, *more = row.split(",")
            rest = ",".join([*more, "", "", ""][:3])
            written.append(f"{code},{event},{day},Owner,letter,{rest}\n")
        self.load("change-events", EVENTS + "".join(written))

    def percents(self, *rows: str, ok: bool = True) -> str:
        """Load what may be claimed: item, date, percent, amount, on_account."""
        head = "item,date,percent,amount,on_account\n"
        return self.load("claim-percents", head + "".join(f"{row}\n" for row in rows), ok=ok)

    def work(self, *rows: str) -> None:
        """Load hours of the one worker: date, hours, code, rework."""
        text = SHEETS + "".join(f"A1,{row}\n" for row in rows)
        self.yard.run("load", "sheets", "--job", self.job, self.yard.write("week.csv", text))

    def sign(self, sheet: str, change: str, first: str, last: str) -> None:
        """Load an agreed daywork sheet of some days."""
        self.load(
            "daywork-sheets", f"{DAYWORK}{sheet},{change},{first},{last},{last},agreed,Owner\n"
        )

    def issue(self, to: str, *, ok: bool = True) -> str:
        """Issue the next claim as an HTML page beside the book; return what was said."""
        out = self.yard.folder / f"claim-{to}.html"
        words = ("issue", "claim", "--job", self.job, "--to", to, "--out", out)
        return self.yard.run(*words, ok=ok).stderr

    def page(self, to: str) -> str:
        """Return the text of the claim to a day."""
        return (self.yard.folder / f"claim-{to}.html").read_text(encoding="utf-8")

    def certify(self, *rows: str, ok: bool = True) -> str:
        """Load certificates: claim, date, item, amount, reason."""
        head = "claim,date,item,amount,reason\n"
        return self.load("certified", head + "".join(f"{row}\n" for row in rows), ok=ok)

    def shown(self, table: str) -> list[dict[str, str]]:
        """Return the rows of a table of the book."""
        return self.yard.rows(self.yard.run("show", table, "--format", "csv").stdout)

    def claimable(self, to: str) -> Any:
        """Return what may be claimed to a day."""
        return self.yard.json("claimable", "--job", self.job, "--to", to)


def _line(code: str, line: str) -> str:
    if line.startswith("labour"):
        _, trade, hours, *more = line.split(",")
        rest = ",".join([*more, "", ""][:2])
        return f"{code},labour,Work,,,,{trade},{hours},{rest}\n"
    quantity, unit, price, *more = line.split(",")
    rest = ",".join([*more, "", ""][:2])
    return f"{code},material,Things,{quantity},{unit},{price},,,{rest}\n"


def claimed(yard: Yard, contract_sum: str, terms: str = "", rates: str = "") -> ClaimedJob:
    """Return a job of a contract sum, frozen; `terms` are keys and tables of job.toml.

    `rates` are what an hour costs, of the one trade: so that its labour has a cost.
    """
    yard.run("new")
    card = CARD.format(contract_sum=contract_sum, terms=terms)
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    yard.run("load", "job", yard.write("job.toml", card))
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    if rates:
        yard.run("load", "rates", yard.write("rates.csv", f"{RATES}craft,2026-01-01,{rates}\n"))
    job = ClaimedJob(yard)
    job.load("charge-rates", CHARGE_RATES)
    job.load("estimate", ESTIMATE)
    yard.run("freeze", "--job", JOB, "--on", "2026-01-05")
    return job
