"""What a pack's own checker leaves as it was in the process that runs it."""

import csv
from pathlib import Path

from ledger.reports.evidence.checking.pack_reading import read_csv


def test_a_long_cell_is_read_and_the_readers_limit_stays(tmp_path: Path) -> None:
    """Other tables read in the process are refused beyond the limit as before."""
    usual = csv.field_size_limit()
    (tmp_path / "long.csv").write_text("a,b\n1," + "x" * (usual + 1) + "\n", encoding="utf-8")
    head, rows = read_csv(tmp_path, "long.csv")

    assert head == ["a", "b"]
    assert [len(row["b"]) for row in rows] == [usual + 1]
    assert csv.field_size_limit() == usual
