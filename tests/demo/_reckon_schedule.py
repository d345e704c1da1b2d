"""What a folder's schedule loads, in its order."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from tests.demo._reckon_files import Load, read_rows


def loads_of(folder: Path, upto: date = date.max) -> list[Load]:
    """Return the loads of schedule.csv, which has on, command and file, up to and with a day."""
    return [
        load_of_words(number, row["command"].split(), [folder / row["file"]] if row["file"] else [])
        for number, row in enumerate(read_rows(folder / "schedule.csv"), start=1)
        if date.fromisoformat(row["on"]) <= upto
    ]


def load_of_words(number: int, words: Sequence[str], files: Sequence[Path]) -> Load:
    """Return a load as a command says it: `load estimate --job J`, `freeze --job J --on DAY`."""
    kind, *options = words if words[0] == "freeze" else words[1:]
    named = dict(zip(options[::2], options[1::2], strict=True))
    on = named.get("--on")
    day = date.fromisoformat(on) if on else None
    return Load(number, kind, tuple(files), named.get("--job", "").upper(), day)
