"""Every question that the program answers with figures, found in the program itself."""

import itertools
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from typing import Any

from ledger.cli.figures_tables import HEADS
from ledger.reports.owner.wording import HOURS_LABELS
from tests._program import whole_program

Run = Callable[..., Any]
# Commands that are not walked, and why; tests of their own compare them with what they rest on.
APART = {
    "accruals": "of a pay period of all jobs, not of a job and a day",
    "achieved": "of all finished packages of all jobs, past ones included",
    "final-account": "its changes' amounts are money, not hours, and of what is reserved by name",
    "hours": "of days from one to another, of workers",
    "journal": "of a posting period of all jobs",
    "reconciliation": "of pay periods from one day to another, of workers",
    "week": "rounded for people; compared in tests/reports/test_week.py",
    "work-in-progress": "to a day of money of its own; needs costs that the sample has not",
}
# Reports that are not walked, and why.
APART_REPORTS = {
    "account": "compared in tests/demo/test_demo_pages.py",
    "daywork": "of a claim, which the sample has not",
    "month": "a pack, whose files are reports; compared in tests/reports/test_month_pack.py",
    "overrun": "names ms by mark and week; compared in tests/demo/test_demo_pages.py",
    "overview": "rounded for people; compared in tests/demo/test_demo_pages.py",
    "progress-form": "has no figures of work but percents typed",
    "week": "rounded for people; compared in tests/reports/test_week.py",
}
# Options that change what is asked; the words they take are those that a refusal offers.
ASKING = ("--in", "--baseline", "--by")
NAMES = {head: name for name, head in HEADS.items()} | {"hours": "amount", "labour cost": "amount"}
FOOTING = re.compile(r"^(anticipated final|booked to the job) (\S+) =", re.MULTILINE)
FOOTED = {"anticipated final": "anticipated_final", "booked to the job": "job_booked"}


def questions(run: Run, needed: dict[str, str]) -> Iterator[tuple[list[str], dict[str, str]]]:
    """Yield the words and options of every reading command that gives JSON.

    `needed` has the options that fill in what is asked about, by name. A command that needs more,
    or takes an argument, or that writes, cannot be asked so and is left out.
    """
    for path, command in commands(whole_program(), ()):
        options = {name: p for p in command.params for name in p.opts if name.startswith("--")}
        others = [p for p in command.params if p.required and not needed.keys() & set(p.opts)]
        others += [p for p in command.params if p.param_type_name == "argument"]
        if "--format" not in options or others or path[0] in APART:
            continue
        own = {name: value for name, value in needed.items() if name in options}
        filled = [*path, *(word for pair in own.items() for word in pair)]
        choices = {name: choices_of(run, filled, name) for name in ASKING if name in options}
        for chosen in itertools.product(*choices.values()):
            asked = own | dict(zip(choices, chosen, strict=True))
            words = [word for pair in asked.items() for word in pair]
            yield [*path, *words], {k.lstrip("-").replace("-", "_"): v for k, v in asked.items()}


def reports(needed: dict[str, str]) -> Iterator[list[str]]:
    """Yield the words of every report that can be made as JSON."""
    for path, command in commands(whole_program(), ()):
        options = {name: p for p in command.params for name in p.opts}
        if path[0] != "report" or ".json" not in (options["--out"].help or ""):
            continue
        if path[1] in APART_REPORTS:
            continue
        if not [p for p in command.params if p.required and not {*needed, "--out"} & set(p.opts)]:
            own = [(name, value) for name, value in needed.items() if name in options]
            yield [*path, *(word for pair in own for word in pair)]


def commands(command: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    below = getattr(command, "commands", None)
    if below is None:
        yield path, command
    for name, inner in (below or {}).items():
        yield from commands(inner, (*path, name))


def choices_of(run: Run, words: list[str], option: str) -> list[str]:
    """Return the words an option takes, as the command offers them when another is given."""
    refusal = run(*words, option, "?", ok=False).stderr
    return refusal.strip().split("use one of ")[1].split(", ")


# --- what people read ------------------------------------------------------------------------


def tables(text: str) -> Iterator[dict[str, Any]]:
    """Yield the tables of a command's text as its JSON would have them, then its footing."""
    for head, *rows in blocks(text):
        cells = [dict(zip(head, row, strict=True)) for row in rows]
        first = head[0]
        named = [
            {first: row[first]} | {NAMES[h]: number(row[h]) for h in head if h in NAMES}
            for row in cells
        ]
        if first in {"key", "step"}:
            yield {"rows": named}
        else:
            values = {row[first]: row["amount"] for row in named if "amount" in row}
            yield {first.replace(" ", "_"): values}
    for word, value in FOOTING.findall(text):
        yield {FOOTED[word]: number(value)}


def blocks(text: str) -> Iterator[list[list[str]]]:
    """Yield tables as rows of cells: lines of as many cells as their head, which has no number."""
    block: list[list[str]] = []
    for line in [*text.splitlines(), ""]:
        cells = re.split(r"\s{2,}", line.strip())
        if block and len(cells) == len(block[0]) and number(cells[1]) is not NOTHING:
            block.append(cells)
            continue
        if len(block) > 1:
            yield block
        block = [cells] if len(cells) > 1 else []


NOTHING = object()


def number(text: str) -> Any:
    """Return a number as shown to people, None where there is none; NOTHING when it is a word."""
    plain = text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", "").lstrip("+")
    if plain in {"-", "–"}:
        return None
    return _decimal(plain) if re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", plain) else NOTHING


def _decimal(text: str) -> Any:
    from decimal import Decimal

    return Decimal(text)


class Cells(HTMLParser):
    """The rows of a page's tables, as their cells' text."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"} and self.rows:
            self.rows[-1].append("")
            self.inside = True

    def handle_endtag(self, tag: str) -> None:
        if tag in {"td", "th"}:
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.rows[-1][-1] += data.strip()


def page_steps(html: str) -> dict[str, Any]:
    """Return the steps of hours on the owner's page, by the labels they have there."""
    parser, steps = Cells(), {label: step for step, label in HOURS_LABELS.items()}
    parser.feed(html)
    found = [
        {"step": steps[row[0]], "hours": number(row[1])}
        for row in parser.rows
        if len(row) == 3 and row[0] in steps
    ]
    return {"rows": found}
