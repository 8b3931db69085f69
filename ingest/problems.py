"""What a person is told when a line, or a whole file, cannot be taken."""

from dataclasses import dataclass, field

LONGEST_SHOWN = 60


def shortened(text: str) -> str:
    """A cell as a sentence shows it: on one line, nothing unprintable, at most 60 characters."""
    shown = printable(text[: LONGEST_SHOWN + 1])
    return shown if len(shown) <= LONGEST_SHOWN else shown[: LONGEST_SHOWN - 1] + "…"


def printable(text: str) -> str:
    """A text on one line, without signs that would steer a terminal or turn the direction of what follows."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def use_one_of(words: tuple[str, ...]) -> str:
    """What to do where one of these words is meant: use backspin; use NC or NR, whichever is meant."""
    *others, last = words
    return f"use {', '.join(others)} or {last}, whichever is meant" if others else f"use {last}"


@dataclass(frozen=True, slots=True)
class Refusal:
    """One refused line; or a whole file, where `line` is None.

    `line` is the number that an editor or the sheet shows, from 1. `seen` is what stands there, shortened for show.
    """

    file_name: str
    line: int | None
    column: str | None
    seen: str
    expected: str
    to_do: str
    suggestions: tuple[str, ...] = field(default=(), compare=False)
    """Known words or codes that may be meant, the likeliest first. What the log keeps of a refusal has none."""
    follows: str | None = field(default=None, compare=False)
    """The refused line that this one follows from: with that one mended, this one has no fault."""
    is_final: bool = field(default=False, compare=False)
    """Somebody left the line out for good: there is nothing to mend."""

    @property
    def sentence(self) -> str:
        """Where, what was seen, what was expected, what to do."""
        line = [] if self.line is None else [f"line {self.line}"]
        column = [] if self.column is None else [f"column {self.column}"]
        place = ", ".join([shortened(self.file_name), *line, *column])
        return printable(f"{place}: saw {self._seen_in_words}, expected {self.expected}, do: {self.to_do}")

    @property
    def _seen_in_words(self) -> str:
        if self.line is None:
            return self.seen
        return f"'{self.seen}'" if self.seen else "an empty cell"


class Unreadable(Exception):
    """A whole file is refused; `refusal` says why and what to do, and so does str()."""

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal.sentence)
        self.refusal = refusal


def unreadable(file_name: str, *, seen: str, expected: str, to_do: str, column: str | None = None) -> Unreadable:
    """The refusal of a whole file, ready to be raised."""
    return Unreadable(Refusal(file_name, None, column, seen, expected, to_do))
