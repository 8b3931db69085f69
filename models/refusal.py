"""What is told to whoever asked for something that cannot be done: the one base of such exceptions, for every layer."""


class Refused(Exception):
    """What was asked for is not done, and whoever asked can act on it: each face tells the text as it is.

    Where it happened, what was seen and expected, what to do. Any exception that is none of these is a fault of ours.
    """

    def __init__(self, what: str, *, where: object = None, to_do: str | None = None) -> None:
        self.sentence = f"{what} {to_do}" if to_do else what
        """What was seen and what to do, without where on the machine that was."""
        super().__init__(f"{where}: {self.sentence}" if where is not None else self.sentence)


class NotThere(Refused):
    """What was asked for by name is not there."""
