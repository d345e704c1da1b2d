"""Print how long `fairhours --help` takes, as a multiple of an empty Typer program.

Run by hand, from the checkout: python tests/bench/help_time.py [runs]
The two run in turns, each in a process of its own; the medians are compared. The limit is 1.5.
"""

import statistics
import subprocess
import sys
import time

OURS = 'import sys; sys.argv = ["fairhours", "--help"]; from ledger.cli.main import main; main()'
EMPTY = """
import sys
import typer
sys.argv = ["empty", "--help"]
app = typer.Typer()
@app.command()
def nothing() -> None:
    "Do nothing."
app()
"""
LIMIT = 1.5


def seconds(program: str) -> float:
    """Return the wall time of one run in a process of its own."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", program], stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def main(runs: int) -> int:
    """Print the medians and their ratio; return 1 over the limit."""
    pairs = [(seconds(OURS), seconds(EMPTY)) for _ in range(runs + 1)][1:]
    ours, empty = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(f"fairhours --help {ours * 1000:.0f} ms, empty program {empty * 1000:.0f} ms")
    print(f"ratio {ours / empty:.2f}, limit {LIMIT}")
    return int(ours / empty > LIMIT)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 15))
