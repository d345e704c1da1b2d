"""The commands that pages, workbooks and folders name, as they are typed."""

import shlex

from ledger.reports.commands_named import Commands, Remade

LOAD_HELD = "fairhours load held FILE.xlsx"
LOAD_TAGS = "fairhours load tags FILE.xlsx"
SHOW_TABLE = "fairhours show TABLE --format csv"


def again(page: Remade) -> str:
    """Return the command that makes a page again."""
    return f"fairhours --known-at {page.known_at} report {page.report} {_what(page)}"


def _what(page: Remade) -> str:
    job = f"--job {shlex.quote(page.job)} " if page.job else ""
    if page.report == "sheet":
        worker = f"--worker {shlex.quote(page.worker)}"
        return f"--week {page.day} {job}{worker} --out sheet.pdf"
    if page.report == "evidence":
        reader = f" --for {page.reader}" if page.reader else ""
        columns = f"--columns {','.join(page.columns)}{reader}"
        return f"{job}{shlex.quote(page.change)} {columns} --out evidence.zip"
    if page.report == "daywork":
        return f"{job}--claim {page.claim} --out daywork.pdf"
    since = f"--since {page.since} " if page.since else ""
    since += f"--since-known-at {page.since_known_at} " if page.since_known_at else ""
    return f"{job}--status-date {page.day} {since}--out {page.report}.pdf"


def load_filled_in(layout: str) -> str:
    """Return the command that loads what was filled in: sheets by a layout, or progress."""
    if layout == "progress":
        return "fairhours load progress --job JOB FILE.xlsx"
    return f"fairhours load sheets --layout {layout} FILE.xlsx"


COMMANDS = Commands(
    again,
    {"templates": "--templates", "paper": "--paper", "pdf_variant": "--pdf-variant"},
    load_filled_in,
)
