"""One kind of ball as a drawing: where the feeder stands and looks, the ball's way, its spin, and where to be ready."""

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, degrees, hypot, inf
from typing import cast

from dashboard.drawings.balls import Ball
from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.signs import Hand, shown, sign
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, group, number, path, picture
from dashboard.drawings.table_above import Ground, badge, feeder, landing, ready_feet, second_bounce, surface
from dashboard.words.phrases import label, phrase
from models.incoming import Length
from models.ready import READY_LINE_CM, cone_of_returns, ready_position
from models.stance import Place
from models.table import HALF_WIDTH_CM, TABLE_LENGTH_CM
from models.typical import FIRST_TRY_CM, FOREHAND_CM, SECOND_BOUNCE_X_CM

FEEDER_X_CM = {"back": -12.0, "middle": 52.0, "near": 104.0}
FEEDER_FOREHAND_CM = {"forehand": 52.0, "centre": 0.0, "backhand": -52.0}
"""Settings: where a feeder is drawn of which only the words are known."""

BALLS_ON_THE_WAY = {"slow": 1, "medium": 2, "fast": 3}

PRESSED = 0.72
"""The length is drawn shorter than it is, so that a small drawing keeps room for what matters: the sides."""
_HALF_SPAN, _TOP = 100.0, -34.0
_BEGINS, _ENDS = 22.0, 12.0
"""So far from feeder and landing the line of the ball begins and ends."""


@dataclass(frozen=True)
class Way:
    """A ball's way from above. `second_x_cm`: where it bounces again, or would beyond the table."""

    feeder: Place
    landing: Place
    second_x_cm: float = inf

    @property
    def ready(self) -> Place:
        """Where the player is ready for it."""
        return ready_position(cone_of_returns(self.feeder))


def way_of(ball: Ball, hand: Hand = "right", stands: Place | None = None) -> Way:
    """The way of a ball known by its words, from where the feeder `stands` if that is known.

    Where a word is missing: from the back, in the middle, long.
    """
    to_forehand = 1 if hand == "right" else -1
    if stands is None:
        stands = Place(FEEDER_X_CM[ball.depth or "back"], to_forehand * FEEDER_FOREHAND_CM[ball.side or "centre"])
    length = cast(Length, ball.length or "long")
    lands = Place(FIRST_TRY_CM[length], to_forehand * FOREHAND_CM[ball.placement or "middle"])
    return Way(stands, lands, SECOND_BOUNCE_X_CM[length])


@lru_cache(maxsize=1024)
def ball_drawing(
    ball: Ball,
    width: float = 96,
    *,
    hand: Hand = "right",
    way: Way | None = None,
    skin: Skin = SCREEN,
    alternative: str | None = "",
) -> Markup:
    """The drawing, `width` pixels wide; its way by the ball's words where none is given.

    In words it tells the ball; None where these words stand beside it.
    """
    way = way or way_of(ball, hand)
    ground = Ground(skin, max(1.0, min(1.7, 92 / width)), PRESSED)
    bottom = READY_LINE_CM * PRESSED + 18
    in_words = None if alternative is None else alternative or f"{ball.in_words()}, on the table from above"
    return picture(
        surface(ground),
        _flight(way, ball.tempo_band, ground),
        *_after_the_bounce(way, ground),
        *_ends(way, ground),
        *_spin(ball, way, ground),
        width=width,
        height=width * (bottom - _TOP) / (2 * _HALF_SPAN),
        box=f"{number(-_HALF_SPAN)} {number(_TOP)} {number(2 * _HALF_SPAN)} {number(bottom - _TOP)}",
        alternative=in_words,
        skin=skin,
        class_="hl-ball",
    )


def _direction(way: Way, ground: Ground) -> tuple[float, float, float]:
    """Across, down, and how far in the drawing from the feeder to the landing."""
    (x0, y0), (x1, y1) = _at(way.feeder, ground), _at(way.landing, ground)
    far = hypot(x1 - x0, y1 - y0)
    return (x1 - x0) / far, (y1 - y0) / far, far


def _at(place: Place, ground: Ground) -> tuple[float, float]:
    return ground.at(place.x_cm, place.y_cm)


def _flight(way: Way, tempo: str | None, ground: Ground) -> Markup:
    """The line from feeder to landing, and so many balls on it as the tempo has."""
    across, down, far = _direction(way, ground)
    x, y = _at(way.feeder, ground)

    def along(distance: float) -> tuple[float, float]:
        return x + across * distance, y + down * distance

    (x0, y0), (x1, y1) = along(_BEGINS), along(far - _ENDS)
    line = path(
        f"M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}",
        stroke=ground.skin.ink,
        stroke_width=number(2.6 * ground.heavy),
    )
    count = BALLS_ON_THE_WAY[tempo] if tempo else 0
    step = (far - _ENDS - _BEGINS) / (count + 1)
    dots = (_flying(along(_BEGINS + step * (i + 1)), ground) for i in range(count))
    return joined(line, *dots)


def _flying(place: tuple[float, float], ground: Ground) -> Markup:
    size = 5.6 * min(ground.heavy, 1.3)
    return circle(*place, size, fill=ground.skin.nextmark, stroke=ground.skin.card, stroke_width="1.6")


def _after_the_bounce(way: Way, ground: Ground) -> list[Markup]:
    """A broken line to the second bounce; an arrow where that is beyond the table."""
    across, down, _ = _direction(way, ground)
    x, y = _at(way.landing, ground)
    is_on_table = way.second_x_cm <= TABLE_LENGTH_CM
    end_y = (way.second_x_cm if is_on_table else READY_LINE_CM - 17) * ground.pressed
    end_x = max(-HALF_WIDTH_CM - 20, min(HALF_WIDTH_CM + 20, x + across * (end_y - y) / down))
    line = path(
        f"M{number(x + across * 13)} {number(y + down * 13)}L{number(end_x)} {number(end_y)}",
        stroke=ground.skin.ink,
        stroke_width=number(2.2 * ground.heavy),
        stroke_dasharray="5 4.5",
    )
    if is_on_table:
        return [line, second_bounce((end_x, end_y), ground.skin)]
    head = path(
        "M-9 -5.5L0 0L-9 5.5",
        stroke=ground.skin.ink,
        stroke_width=number(2.4 * ground.heavy),
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    return [line, group(head, at=(end_x, end_y), turn_deg=degrees(atan2(end_y - y, end_x - x)))]


def _ends(way: Way, ground: Ground) -> list[Markup]:
    across, down, _ = _direction(way, ground)
    return [
        landing(_at(way.landing, ground), skin=ground.skin),
        feeder(_at(way.feeder, ground), degrees(atan2(across, down)), skin=ground.skin),
        ready_feet(_at(way.ready, ground), skin=ground.skin),
    ]


def _spin(ball: Ball, way: Way, ground: Ground) -> list[Markup]:
    """The spin on a disc beside the feeder, on the side where there is more room."""
    named = [(dimension, word) for dimension in ("spin", "spin_family") if (word := ball.value(dimension))]
    if not named:
        return []
    x, y = _at(way.feeder, ground)
    beside = 42 if way.feeder.y_cm <= 0 else -42
    return [badge((x + beside, y + 6), sign(*named[0]), skin=ground.skin)]


def two_lines(ball: Ball) -> tuple[str, str]:
    """A ball in two lines: what it is, then from where and to where: `Topspin, long, fast`; `from the back, centre`."""
    kind = [ball.spin or ball.spin_family, ball.length, ball.tempo_band]
    names = [label(word) for word in kind if word]
    if ball.sidespin:
        names.insert(1, phrase("sidespin", ball.sidespin))
    way = [
        phrase(dimension, word)
        for dimension in ("depth", "side", "placement", "height")
        if (word := ball.value(dimension))
    ]
    first = ", ".join(names) or "Any ball"
    return first[:1].upper() + first[1:], ", ".join(way)


def signs_of(ball: Ball, *, hand: Hand = "right", size: float = 20, skin: Skin = SCREEN) -> Markup:
    """The signs of a ball's own words in one line, for beside its words."""
    return element("span", *each_sign(ball, hand=hand, size=size, skin=skin), class_="hl-signs")


def each_sign(ball: Ball, *, hand: Hand = "right", size: float = 20, skin: Skin = SCREEN) -> list[Markup]:
    """The signs of a ball's own words, each as a picture."""
    named = [
        (dimension, word)
        for dimension in ("spin_family", "spin", "sidespin", "length", "tempo_band", "placement", "height")
        if (word := ball.value(dimension)) and not (dimension == "spin_family" and ball.spin)
    ]
    return [shown(sign(dimension, word, hand), size, skin=skin) for dimension, word in named]
