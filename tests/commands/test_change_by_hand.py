"""From "could you just" to a signed variation by commands alone, counted in keys and seconds."""

import os
import pty
import resource
import select
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import pytest

from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard
from tests.inputs._moves import freeze

MAIN = "from ledger.cli.main import main; main()"
# A minute of typing, at forty words of five letters a minute.
KEYS_A_MINUTE = 200
# What each command is asked, and the keys a person types: the rest is proposed or left out.
REQUEST = ["\n", "Bench along the shore side\n", "Jonna Merrick\n", "\n", "\n"]
PRICE = ["carpenter=8\n", "material Larch boards=6 m x 40\n", "\n"]
APPROVE = ["Jonna Merrick\n", "letter of 16 March\n"]


def typed(yard: Yard, words: list[str], keys: list[str]) -> tuple[str, int]:
    """Run the program on a terminal, answer each question; return what was shown and the keys.

    The keys are those of the answers and of the command, without the program's path.
    """
    ours, theirs = pty.openpty()
    environment = {**os.environ, "FAIRHOURS_BOOK": str(yard.book), "FAIRHOURS_ACTOR": "AB"}
    with subprocess.Popen(
        [sys.executable, "-c", MAIN, *words],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=environment,
        cwd=Path(__file__).parents[2],
    ) as process:
        os.close(theirs)
        shown, answers = "", list(keys)
        while True:
            ready, _, _ = select.select([ours], [], [], 60)
            assert ready, shown
            try:
                more = os.read(ours, 4096).decode()
            except OSError:  # The other end was closed.
                break
            if not more:
                break
            shown += more
            if answers and shown.endswith(": "):
                os.write(ours, answers.pop(0).encode())
        assert process.wait(60) == 0, shown
    os.close(ours)
    command = " ".join(["fairhours", *words]) + "\n"
    return shown, len(command) + sum(map(len, keys))


@pytest.mark.slow
def test_a_request_becomes_a_signed_variation_in_minutes_of_typing(stage: Yard) -> None:
    """Requested, priced, sent, approved with the scan, worked and completed; nothing is a file.

    The request alone is less than a minute of typing.
    """
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    scan = stage.write("letter.pdf", "signed")
    sheet = stage.write("s.csv", "worker_id,date,hours,booking_code\nA1,2026-03-18,7,CR1\n")
    on = ["--date", "2026-03-16"]
    steps = [
        (["request", "change", "--job", JOB, "--requested-on", "2026-03-09"], REQUEST),
        (["enter", "price", "--job", JOB, "CR1", *on], PRICE),
        (["submit", "price", "--job", JOB, "CR1", "--days-requested", "0", *on], []),
        (["approve", "change", "--job", JOB, "CR1", "--attach", str(scan), *on], APPROVE),
        (["load", "sheets", "--job", JOB, str(sheet)], []),
        (["complete", "change", "--job", JOB, "CR1", "--date", "2026-03-19"], []),
    ]
    begun, before = time.monotonic(), resource.getrusage(resource.RUSAGE_CHILDREN)
    counts, shown = [], ""
    for words, keys in steps:
        shown, count = typed(stage, words, keys)
        counts.append(count)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    print(f"keys {counts}, {sum(counts)} in all; {spent:.1f} s of processor time, ", end="")
    print(f"{time.monotonic() - begun:.1f} s by the clock")
    stage.run("check")
    row = stage.json("changes", "--job", JOB, "--status-date", "2026-03-19")["changes"][0]
    names = ("price_state", "work", "price", "hours_priced", "hours_booked", "days_requested")

    assert counts[0] < KEYS_A_MINUTE
    assert sum(counts) < 3 * KEYS_A_MINUTE + len(str(scan)) + len(str(sheet))
    # 8 h at 60.00 and 6 m at 40.00.
    assert [row[name] for name in names] == ["approved", "complete", Decimal(720), 8, 7, 0]
    assert "CR1, Bench along the shore side: price approved" in shown
