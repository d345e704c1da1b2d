"""Loads of what claims rest on: costs beside the hours, and what may be claimed to date."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from ledger.changes.claim_terms import BASE, ClaimBase, ClaimedToDate, claim_base
from ledger.changes.standing import Standing, standings
from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused
from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow


def load_job_costs(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add what a job cost on a day by kind, what is forecast to come and what is not installed."""
    table = read_input(book, file, columns.JOB_COSTS)
    for line in table.lines:
        if line["job"] not in {None, job}:
            what = f"job {line['job']} is not {job}; load its rows with those of its job"
            table.fault(line.number, what, "job")
    refuse_equal_keys(table, ("day", "cost_kind"))
    table.settle()
    rows = [{**line.values, "job": job} for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "job_cost", rows)])


def load_claim_percents(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add what may be claimed to date: of the base, of stage payments and of changes."""
    table = read_input(book, file, columns.CLAIM_PERCENTS)
    items = _Items(book, job)
    for line in table.lines:
        if line["item"]:
            line.values["item"] = items.named(line["item"])
            for fault in items.faults(line):
                table.fault(line.number, fault, "item")
    refuse_equal_keys(table, ("item", "day"))
    table.settle()
    rows = [{**line.values, "job": job} for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "claim_percent", rows)])


class _Items:
    """What of a job may be claimed by a percentage or an amount typed."""

    def __init__(self, book: Book, job: str) -> None:
        self.book, self.job = book, job
        self.base: ClaimBase = claim_base(book, job, date.max)
        self._by_day: dict[date, dict[str, Standing]] = {}

    def named(self, item: str) -> str:
        """Return an item as it is kept: the base, a stage as the contract spells it, a change."""
        stage = self.base.stage(item)
        if stage:
            return stage.name
        return BASE if word_of(item) == BASE else code_of(item)

    def faults(self, line: FileRow) -> Iterator[str]:
        """Yield what does not fit of a row."""
        if (line["percent"] is None) == (line["amount"] is None):
            yield "give a percent or an amount, not both"
            return
        item = line["item"]
        if item == BASE or self.base.stage(item):
            yield from self._of_contract(line)
        elif line["day"]:
            yield from self._of_change(line)

    def _of_contract(self, line: FileRow) -> Iterator[str]:
        base = claim_base(self.book, self.job, line["day"] or date.max)
        stage = base.stage(line["item"])
        if line["on_account"]:
            yield "on_account is for changes that are not approved; leave it blank"
        if base.by_the_hour:
            yield f"{self.job} is paid by the hour: its base is claimed from hours, not by percent"
        elif stage is None and base.terms.stages:
            names = ", ".join(each.name for each in base.terms.stages)
            yield f"{self.job} is claimed by stage payments; use one of {names}"
        else:
            yield from _above(line, stage.amount if stage else base.base_sum)

    def _of_change(self, line: FileRow) -> Iterator[str]:
        standing = self._standing(line)
        if standing is None:
            stages = [each.name for each in self.base.terms.stages]
            known = ", ".join([*(stages or [BASE]), "or a change requested by the date"])
            yield f'unknown item "{line["item"]}"; use {known}'
        elif line["on_account"]:
            yield from _on_account(line, standing)
        elif not standing.approved:
            what = standing.price_state.replace("_", " ")
            yield (
                f"{line['item']} is {what} on {line['day']}, not approved; claim an amount with "
                "on_account yes, or wait for the approval"
            )
        elif standing.estimated:
            yield f"{line['item']} is daywork: it is claimed from its agreed sheets"
        elif standing.basis == "no_charge":
            yield f"{line['item']} is without charge; leave it out"
        elif standing.agreed_value is not None:
            yield from _above(line, standing.agreed_value)
        else:
            yield from _above(line, self._price(standing))

    def _standing(self, line: FileRow) -> Standing | None:
        day = line["day"]
        if day not in self._by_day:
            every = standings(self.book, self.job, day)
            self._by_day[day] = {each.change.code: each for each in every}
        return self._by_day[day].get(line["item"])

    def _price(self, standing: Standing) -> Decimal:
        try:
            return standing.price.added if standing.price else Decimal(0)
        except Refused:
            return Decimal(0)


def _on_account(line: FileRow, standing: Standing) -> Iterator[str]:
    if standing.approved:
        yield f"{line['item']} is approved on {line['day']}; leave on_account blank"
    elif not standing.on_account:
        what = standing.price_state.replace("_", " ")
        yield (
            f"{line['item']} is {what} and not instructed on {line['day']}; only instructed or "
            "disputed work is claimed on account"
        )
    elif line["amount"] is None:
        yield "work on account is claimed at an amount; fill in amount"


def _above(line: FileRow, whole: Decimal) -> Iterator[str]:
    """Yield a fault for more than the sum that is agreed."""
    claimed = ClaimedToDate(line["day"], line["percent"], line["amount"], on_account=False)
    if claimed.of(whole) > whole:
        yield f"amount {line['amount']} is above the sum agreed, {whole}"
