"""What the coach has decided of a player's balls for a day, before anything is planned."""

from dataclasses import dataclass
from typing import Literal

from models.worth import Cell

Decision = Literal["must", "not_today"]


@dataclass(frozen=True)
class Locks:
    """What must be in a plan, and what is not fed today."""

    must: frozenset[Cell] = frozenset()
    not_today: frozenset[Cell] = frozenset()


NO_LOCKS = Locks()
