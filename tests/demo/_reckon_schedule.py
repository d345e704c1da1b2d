"""What a folder's schedule loads, in its order."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from tests.demo._reckon_files import Load, read_rows

DAYS = ("--on", "--to")


def loads_of(folder: Path, upto: date = date.max) -> list[Load]:
    """Return the loads of schedule.csv, which has on, command and file, up to and with a day."""
    return [
        load_of_words(number, row["command"].split(), [folder / row["file"]] if row["file"] else [])
        for number, row in enumerate(read_rows(folder / "schedule.csv"), start=1)
        if date.fromisoformat(row["on"]) <= upto
    ]


def load_of_words(number: int, words: Sequence[str], files: Sequence[Path]) -> Load:
    """Return a load as a command says it: `load estimate --job J`, `freeze --job J --on DAY`,
    `issue claim --job J --to DAY`, `issue invoice --job J --claim N --on DAY`; an estimate may have
    `--baseline-change NAME`.
    """
    kind, *options = words if words[0] == "freeze" else words[1:]
    named = dict(zip(options[::2], options[1::2], strict=True))
    days = {name: date.fromisoformat(day) for name, day in named.items() if name in DAYS}
    job, claim = named.get("--job", "").upper(), int(named.get("--claim", 0))
    load = Load(number, kind, tuple(files), job, days.get("--on"), to=days.get("--to"), claim=claim)
    return replace(load, under=named.get("--baseline-change", ""))
