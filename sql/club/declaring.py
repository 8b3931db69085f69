"""What is declared of a table of the club file: what each column holds, and what an erasure does with its rows."""

from dataclasses import dataclass
from enum import Enum, auto


class Holds(Enum):
    """What a column holds, as far as it is about a person."""

    KEY = auto()
    """Tells the rows apart, by a number or an id that was drawn."""
    PLAYER = auto()
    """The code of a player."""
    ACCOUNT = auto()
    """The number of an account."""
    NAME = auto()
    """The name of somebody who signs in."""
    ADDRESS = auto()
    """From where somebody came."""
    WORDS = auto()
    """Words in which somebody may be named."""
    WORDS_IN_JSON = auto()
    """JSON with such words in it."""
    SECRET = auto()
    """By which a browser or a person is known: given to nobody."""
    NOBODY = auto()
    """Nothing that tells of a person by itself."""


class Erasure(Enum):
    """What becomes of the rows of a player who is forgotten. Words in other rows that name the player always go."""

    ROWS = auto()
    """They are deleted."""
    ROWS_LAST = auto()
    """They are deleted in the end: until then they tell who is meant, should the erasure be cut off."""
    PERSON = auto()
    """They stay, without the person."""
    ACCOUNTS = auto()
    """The accounts themselves: those that stand for this player alone are deleted, in the end too."""
    WITH_PARENT = auto()
    """They go with the row of another table that they belong to (`on delete cascade`)."""
    NOTHING = auto()
    """They stay: the table tells of no player."""


@dataclass(frozen=True)
class ClubTable:
    """A table of the club file."""

    name: str
    title: str
    """What it holds, in words for the player who takes it away."""
    columns: dict[str, Holds]
    erasure: Erasure
    survives_restore: bool = True
    """Its rows count again when a backup is given back. What opens a door must not come to life again."""
    taken_away: str | None = None
    """The question for the rows that a player (`:player`) takes away; None: those with the player's code, if any."""
    not_taken_away: str | None = None
    """Why a player takes none of it away."""

    def holding(self, *kinds: Holds) -> list[str]:
        """The columns that hold one of these."""
        return [name for name, holds in self.columns.items() if holds in kinds]

    @property
    def key(self) -> str:
        """The column that tells the rows apart; SQLite's own where none of ours does."""
        return next(iter(self.holding(Holds.KEY)), "rowid")

    @property
    def player(self) -> str | None:
        """The column with the code of a player."""
        return next(iter(self.holding(Holds.PLAYER)), None)

    @property
    def question(self) -> str | None:
        """The question for the rows that a player takes away, without what is given to nobody."""
        if self.taken_away or self.not_taken_away or not self.player:
            return self.taken_away
        given = [name for name, holds in self.columns.items() if holds is not Holds.SECRET]
        return f"select {', '.join(given)} from {self.name} where {self.player} = :player"
