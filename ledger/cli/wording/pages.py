"""The commands that pages, workbooks and folders name, as they are typed."""

import shlex

from ledger.reports.commands_named import Commands, Opens, Remade

# Commands that show what stands now, and those that ask for their day by another option.
TO_NOW, BY_DAY = ("doubts",), ("claimable", "account")
LOAD_HELD = "fairhours load held FILE.xlsx"
LOAD_TAGS = "fairhours load tags FILE.xlsx"
SHOW_TABLE = "fairhours show TABLE --format csv"


def makes(page: Remade) -> str:
    """Return the command that makes a page again."""
    return f"fairhours --known-at {page.known_at} report {page.report} {_what(page)}"


def _what(page: Remade) -> str:
    job = f"--job {shlex.quote(page.job)} " if page.job else ""
    if page.report == "sheet":
        worker = f"--worker {shlex.quote(page.worker)}"
        return f"--week {page.day} {job}{worker} --out sheet.pdf"
    if page.report == "week":
        return f"--to {page.day} {job}--out week.pdf"
    if page.report == "overview":
        return f"--to {page.day} --out overview.html"
    if page.report == "evidence":
        reader = f" --for {page.reader}" if page.reader else ""
        columns = f"--columns {','.join(page.columns)}{reader}{_stretches(page)}"
        return f"{job}{shlex.quote(page.change)} {columns} --out evidence.zip"
    if page.report == "account":
        return f"{job}--to {page.day} --out account.pdf"
    if page.report == "reconciliation":
        return f"--from {page.first} --to {page.day} --out reconciliation.pdf"
    if page.report == "daywork":
        return f"{job}--claim {page.claim} --out daywork.pdf"
    if page.report == "job":
        return f"{job}--status-date {page.day} --out job.html"
    since = f"--since {page.since} " if page.since else ""
    since += f"--since-known-at {page.since_known_at} " if page.since_known_at else ""
    return f"{job}--status-date {page.day} {since}--out {page.report}.pdf"


def _stretches(page: Remade) -> str:
    named = zip(("--least-affected", "--affected"), page.stretches, strict=False)
    return "".join(f" {option} {shlex.quote(stretch)}" for option, stretch in named)


def opens(figure: Opens) -> str:
    """Return the command that shows what a figure is made of."""
    words = ["fairhours", figure.command]
    words += ["--job", shlex.quote(figure.job)] if figure.job else []
    words += ["--from", str(figure.first), "--to", str(figure.last)] if figure.first else []
    if figure.day and figure.command not in TO_NOW:
        words += ["--to" if figure.command in BY_DAY else "--status-date", str(figure.day)]
    return " ".join(words)


def load_filled_in(layout: str) -> str:
    """Return the command that loads what was filled in: sheets by a layout, or progress."""
    if layout == "progress":
        return "fairhours load progress --job JOB FILE.xlsx"
    return f"fairhours load sheets --layout {layout} FILE.xlsx"


COMMANDS = Commands(
    makes,
    {"templates": "--templates", "paper": "--paper", "pdf_variant": "--pdf-variant"},
    load_filled_in,
    opens,
)
