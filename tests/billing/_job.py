"""A job to be claimed: a contract sum, its terms, changes and what may be claimed of them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ledger.documents.invoices import IssuedInvoice, invoices_of
from ledger.store.book import open_book
from tests.conftest import Outcome, Yard

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
SETTINGS = """
[yard]
name = "Brackvane Slip Boatbuilders"
currency = "EUR"
address = ["Slipway 4"]
postcode = "1784 AB"
city = "Den Helder"
country = "NL"
tax_number = "NL123456782B90"
registration = "87654321"

[bank_account]
account = "NL61 QQQQ 0123 4567 89"

[tax_categories.S]
2025-01-01 = 19
2026-01-01 = 21

[exchange_rates.NOK]
2026-02-20 = 0.0852
2026-03-20 = 0.0900
source = "Central bank"
"""
OWNER = """
[owner]
legal_name = "Lake Tellowen Crossing Society"
address = ["Ferry Road 1"]
city = "Gorredijk"
country = "{country}"
{number}

[invoice]
purchase_order = "PO-7711"
payment_days = 14
{invoice}
"""
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

    def bill(self, claim: int, on: str, *words: object, ok: bool = True) -> Outcome:
        """Issue the invoice of a claim, as a page beside the book unless said otherwise."""
        out = () if "--out" in words else ("--out", self.yard.folder / f"invoice-{on}.html")
        named = ("--job", self.job, "--claim", claim, "--on", on)
        return self.yard.run("issue", "invoice", *named, *out, *words, ok=ok)

    def credit(self, number: str, on: str, *words: object, ok: bool = True) -> Outcome:
        """Credit an invoice, as a page beside the book."""
        out = () if "--out" in words else ("--out", self.yard.folder / f"credit-{on}.html")
        named = (number, "--reason", "Wrong address", "--on", on)
        return self.yard.run("credit", "invoice", *named, *out, *words, ok=ok)

    def claim_to(self, day: str, *rows: str) -> None:
        """Type what may be claimed by a day, item and percent, and issue the claim."""
        self.percents(*(f"{row.replace(' ', f',{day},')},," for row in rows))
        self.issue(day)

    def invoices(self) -> list[IssuedInvoice]:
        with open_book(self.yard.book) as book:
            return invoices_of(book, self.job)

    def amounts(self) -> list[tuple[str, Any, Any]]:
        """Return number, net and gross of each invoice and credit note."""
        return [(each.document, each.net, each.gross) for each in self.invoices()]


def owner(country: str = "NL", number: str = "", invoice: str = "") -> str:
    """Return the tables of job.toml that say who is invoiced, and how."""
    tax_number = f'tax_number = "{number}"' if number else ""
    return OWNER.format(country=country, number=tax_number, invoice=invoice)


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
    whom = "" if "[owner]" in terms else owner()
    card = CARD.format(contract_sum=contract_sum, terms=f"{terms}\n{whom}")
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
