"""What commands return: facts, which whoever shows them puts into words."""


class Outcome:
    """Something that came of a command: sequences, counts, kinds, ids and amounts, no sentence."""
