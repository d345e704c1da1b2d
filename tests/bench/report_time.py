"""How long a statement of 200 changes takes, against as many pages of plain tables.

Run by hand: python tests/bench/report_time.py [CHANGES] [ROUNDS]. Times are of this process, in
seconds of the processor; both are made in turn, and the ratio of their medians is what counts.
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ledger.reports.rendering import render
from tests.reports._landing import RECORDED_AT
from tests.reports.test_hostile import many

STYLE = """
@page { size: A4; margin: 18mm }
body { font: 9pt/1.35 sans-serif }
table { width: 100%; border-collapse: collapse; table-layout: fixed }
table + table { break-before: page }
td { border-bottom: 0.4pt solid #ccc; padding: 0.95mm 1.5mm }
"""
ROWS, CELLS = 40, 7  # What an A4 page holds in the statement's type.


def plain_pages(count: int) -> bytes:
    """Return so many pages, each a plain table that fills it, tagged like the statement."""
    from weasyprint import HTML

    row = "<tr>" + "<td>1 234.50</td>" * CELLS + "</tr>"
    table = f"<table>{row * ROWS}</table>"
    text = f'<html lang="en"><title>plain</title><style>{STYLE}</style>{table * count}'
    made: bytes = HTML(string=text).write_pdf(pdf_variant="pdf/ua-1")
    return made


def page_count(made: bytes) -> int:
    """Return the pages of a PDF, as poppler's pdfinfo counts them."""
    told = subprocess.run(["pdfinfo", "-"], input=made, capture_output=True, check=True).stdout
    return int(told.split(b"Pages:")[1].split()[0])


def seconds(work: Callable[[], bytes]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def main(changes: int = 200, rounds: int = 3) -> None:
    view = many(changes - 9)  # The landing has nine of its own.
    pages = page_count(render(view, "pdf", recorded_at=RECORDED_AT))
    assert page_count(plain_pages(pages)) == pages
    ours, plain = [], []
    for _ in range(rounds):
        ours.append(seconds(lambda: render(view, "pdf", recorded_at=RECORDED_AT)))
        plain.append(seconds(lambda: plain_pages(pages)))
    ratio = statistics.median(ours) / statistics.median(plain)
    print(f"{changes} changes, {pages} pages: {statistics.median(ours):.1f} s")
    print(f"{pages} plain table pages: {statistics.median(plain):.1f} s; ratio {ratio:.2f}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
