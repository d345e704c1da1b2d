"""Units of quantity on an invoice: UN/ECE Recommendation 20, those that a yard invoices by."""

# Code, its name on a page, and the words that people write for it.
_UNITS = (
    ("HUR", "hour", "h hr hrs hour hours"),
    ("MIN", "minute", "min minute minutes"),
    ("DAY", "day", "d day days"),
    ("WEE", "week", "week weeks"),
    ("MON", "month", "month months"),
    ("C62", "piece", "piece pieces pc pcs pce each ea no nr unit units item items"),
    ("LS", "lump sum", "ls lump_sum lot"),
    ("SET", "set", "set sets"),
    ("PR", "pair", "pair pairs"),
    ("GRM", "g", "g gram grams"),
    ("KGM", "kg", "kg kilo kilos kilogram kilograms"),
    ("TNE", "t", "t tonne tonnes"),
    ("MMT", "mm", "mm"),
    ("MTR", "m", "m metre metres meter meters"),
    ("KMT", "km", "km"),
    ("MTK", "m²", "m2 m² sqm"),
    ("MTQ", "m³", "m3 m³ cbm"),
    ("LTR", "l", "l litre litres liter liters"),
)
LUMP_SUM = "LS"
UNIT_NAMES = {code: name for code, name, _ in _UNITS}
_CODES = {word: code for code, _, words in _UNITS for word in words.split()}


def unit_code(written: str) -> str | None:
    """Return the code of a unit as somebody wrote it, None for one that is not known."""
    word = written.strip().lower().rstrip(".")
    return _CODES.get(word.replace(" ", "_")) or _CODES.get(word)
