"""What a line of a price may say, by its kind: each slip with what to write instead."""

from collections.abc import Sequence

from ledger.changes.prices import PriceList
from ledger.domain.codes import name_of
from ledger.domain.pricing import PRICE_KINDS
from ledger.store.book import Book
from ledger.tables.small_tables import FileRow, ReadTable

# What an addition line says beside its percentage belongs to the lines that it is added to.
NOT_OF_AN_ADDITION = {
    "trade": "trade",
    "grade": "grade",
    "ms": "hours",
    "quantity": "quantity",
    "unit": "unit",
    "unit_price": "unit_price",
    "work_package": "work_package",
    "planned_start": "planned_start",
    "planned_finish": "planned_finish",
    "technique": "technique",
    "provisional_sum": "provisional_sum",
}
OF_AN_ADDITION = ("addition_of", "addition_method")


class LineChecks:
    """The checks of a table's price lines; each slip is noted in the table."""

    def __init__(self, book: Book, job: str, table: ReadTable) -> None:
        rows = book.rows("jobs/codes_of_job", job=job)
        self.job, self.table = job, table
        self.packages = {code for code, what in rows if what == "package"}
        sums = PriceList(book, job).provisional_sums
        self.sums = {name_of(name): name for name in sums}

    def check(self, line: FileRow) -> None:
        """Note what does not fit in a line."""
        kind = line["price_kind"]
        if kind == "addition":
            self._addition(line)
        elif kind:
            self._percentage(line)
            self._provisional_sum(line)
            if kind == "labour":
                self._labour(line)
            else:
                self._other(line)

    def check_whole(self, lines: Sequence[FileRow]) -> None:
        """Note each addition of a revision that has no line above it to be added to."""
        above: set[str] = set()
        for line in lines:
            kind = line["price_kind"]
            if kind != "addition":
                above.add(kind)
                continue
            of = line["addition_of"]
            if not above & set(of.split(",") if of else PRICE_KINDS):
                named = f" of {of.replace(',', ', ')}" if of else ""
                self._fault(line, f"no line{named} above this addition; put it below what it is on")

    def _fault(self, line: FileRow, what: str, column: str = "") -> None:
        self.table.fault(line.number, what, column)

    def _addition(self, line: FileRow) -> None:
        for name, column in NOT_OF_AN_ADDITION.items():
            if line[name] is not None:
                self._fault(line, f"an addition line takes no {column}; leave it blank", column)
        if line.is_blank("addition_percent"):
            self._fault(line, "an addition line needs addition_percent")
        self._below_whole_price(line)

    def _percentage(self, line: FileRow) -> None:
        kind = line["price_kind"]
        for name in OF_AN_ADDITION:
            if line[name] is not None:
                what = f"{name} belongs to a line of kind addition, not to {kind}; leave it blank"
                self._fault(line, what, name)
        if line["addition_on"] is not None and line.is_blank("addition_percent"):
            self._fault(line, "addition_on needs addition_percent", "addition_on")
        self._below_whole_price(line)

    def _below_whole_price(self, line: FileRow) -> None:
        percent = line["addition_percent"]
        if line["addition_on"] == "price" and percent is not None and percent >= 100:
            what = f"addition_percent {percent:f} of the price leaves nothing for cost; below 100"
            self._fault(line, f"{what}, or addition_on = cost", "addition_percent")

    def _provisional_sum(self, line: FileRow) -> None:
        name = line["provisional_sum"]
        if name is None:
            return
        known = self.sums.get(name_of(name))
        if known:
            line.values["provisional_sum"] = known
        elif self.sums:
            listed = ", ".join(self.sums.values())
            what = f'unknown provisional sum "{name}"; use one of {listed}'
            self._fault(line, what, "provisional_sum")
        else:
            what = f"job {self.job} has no provisional sums; name them in its job.toml first"
            self._fault(line, what, "provisional_sum")

    def _labour(self, line: FileRow) -> None:
        """Check labour: hours at charge rates, or a typed amount without hours (a premium)."""
        ms, package = line["ms"], line["work_package"]
        typed = line["quantity"] is not None or line["unit_price"] is not None
        if ms is None:
            if line.is_blank("ms"):
                self._typed_labour(line, typed=typed)
        elif typed:
            what = "hours are priced at charge rates; leave quantity and unit_price blank"
            self._fault(line, f"{what}, or leave hours blank for a premium")
        elif ms < 0 and package is None:
            self._fault(line, "an omission needs the work_package it is taken from")
        elif ms >= 0 and line["trade"] is None:
            self._fault(line, "added labour needs a trade")
        if package is not None and package not in self.packages:
            self._fault(line, f'unknown package "{package}" to take hours from')

    def _typed_labour(self, line: FileRow, *, typed: bool) -> None:
        """Check labour without hours: what it adds to the price alone, never to the baseline."""
        if not typed:
            self._fault(line, "a labour line needs hours")
        elif line.is_blank("quantity") or line.is_blank("unit_price"):
            self._fault(line, "a labour line without hours needs quantity and unit_price")
        elif line["grade"] is not None or line["work_package"] is not None:
            what = "a labour line without hours takes no grade and no work_package"
            self._fault(line, f"{what}; leave them blank")

    def _other(self, line: FileRow) -> None:
        kind = line["price_kind"]
        if line["grade"]:
            self._fault(line, f"a {kind} line takes no grade; leave it blank", "grade")
        elif line.is_blank("quantity") or line.is_blank("unit_price"):
            self._fault(line, f"a {kind} line needs quantity and unit_price")
        elif line["ms"] is not None:
            what = f"a {kind} line takes no hours; leave them blank, or use price_kind labour"
            self._fault(line, what, "hours")
