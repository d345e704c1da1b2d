"""What a program makes in another process, with other hashes and another clock."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
OTHERWISE = {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PYTHONPATH": str(ROOT)}


def made_again(program: str, word: str) -> bytes:
    """Return what the program writes to standard output, given one word."""
    return subprocess.run(
        [sys.executable, "-c", program, word],
        cwd=ROOT,
        env=os.environ | OTHERWISE,
        capture_output=True,
        check=True,
    ).stdout
