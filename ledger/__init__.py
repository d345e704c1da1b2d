"""Labour hours of one-off builds: booked, tagged, measured and explained, with proof."""

__version__ = "0.1.0"
