"""How to play one ball from where its feeder stands, over all sets of coefficients; worked out once and then kept."""

from dataclasses import dataclass
from functools import lru_cache

from models.coefficients import ALL_SETS
from models.feeder_setup import FeederSetup
from models.moved_ball import KEPT, Ball, Way, described_ball, landing_place, wanted_ball, way_over
from models.moving import as_aimed
from models.stance import Place


@dataclass(frozen=True)
class Aimed:
    """A ball from where its feeder stands, over the sets; `impossible` names those that have no such ball."""

    target: Place
    impossible: tuple[str, ...]
    way: Way


@lru_cache(maxsize=KEPT)
def aimed_ball(setup: FeederSetup, ball: Ball) -> Aimed:
    """How to play it. Raises OutOfBounds."""
    wanted = wanted_ball(described_ball(setup, ball), ball)
    wanted.check()
    way = way_over((each.name, as_aimed(wanted, each)) for each in ALL_SETS)
    found = {each.coefficients for each in way.played}
    return Aimed(landing_place(wanted), tuple(each.name for each in ALL_SETS if each.name not in found), way)
