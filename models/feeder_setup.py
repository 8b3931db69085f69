"""A feeder where it stands, as a setup of the log names it or as somebody types it; and a target typed in."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from models.bounds import check_release
from models.nearest import nearest
from models.refusal import NotThere, Refused
from models.stance import Place
from models.typical import RELEASE_HEIGHT_CM

_NUMBER = r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*"


class NoSuchSetup(NotThere):
    """No setup has this code; the text names the nearest, or all there are."""


class NotAPlace(Refused):
    """This is not two numbers with a comma between them."""


@dataclass(frozen=True)
class FeederSetup:
    """Where a feeder stands: a setup of the log, or a place typed in, which has no code.

    `yaw_deg`: how the log says the head is turned; `feeder_id`: which feeder it says stands there. None where it does
    not say.
    """

    x_cm: float
    y_cm: float
    height_cm: float = RELEASE_HEIGHT_CM
    yaw_deg: float | None = None
    code: str | None = None
    name: str | None = None
    feeder_id: str | None = None

    @property
    def place(self) -> Place:
        """Seen from above."""
        return Place(self.x_cm, self.y_cm)


def setup_typed(text: str) -> FeederSetup:
    """A feeder at a place typed as X,Y in cm. Raises NotAPlace, FeederBeyondHall or FeederPastNet."""
    place = place_typed(text)
    check_release(place.x_cm, place.y_cm, RELEASE_HEIGHT_CM)
    return FeederSetup(place.x_cm, place.y_cm)


def place_typed(text: str) -> Place:
    """A place typed as X,Y in cm. Raises NotAPlace."""
    found = re.fullmatch(f"{_NUMBER},{_NUMBER}", text)
    if found is None:
        raise NotAPlace(
            f"{text[:40]!r} is not a place. Write two numbers in cm with a comma between them, such as 245,-40: how "
            "far from the end line opposite the player, then how far to the player's right (to the left is negative)."
        )
    return Place(float(found[1]), float(found[2]))


def setup_named(code: str, setups: Iterable[FeederSetup]) -> FeederSetup:
    """The setup with a code, however its letters are cased. Raises NoSuchSetup."""
    by_code = {str(setup.code): setup for setup in setups}
    for known, setup in by_code.items():
        if known.casefold() == code.strip().casefold():
            return setup
    near = nearest(code, by_code)
    hint = f" Did you mean {near}?" if near else ""
    known = f"Known are {', '.join(by_code)}." if by_code else "No setups are loaded yet."
    raise NoSuchSetup(f"No setup has the code {code!r}.{hint} {known} A place such as -20,65 will do as well.")
