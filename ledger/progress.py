"""How far long work is: told step by step to whoever asked, and to nobody else."""


class Progress:
    """What is told of long work; this one listens to nothing."""

    def step(self, name: str, of: int) -> None:
        """Say that a step begins, and how many the work has; a step named as the last goes on."""

    def within(self, done: int, of: int = 0) -> None:
        """Say how far the step is, as a count of its parts; of how many, where that is known."""


SILENT = Progress()
