"""A book in Python: read-only, as frames of documented columns."""

from ledger.frames.book_frames import BookFrames
from ledger.frames.columns import FRAMES, ColumnOf

__all__ = ["FRAMES", "BookFrames", "ColumnOf"]
