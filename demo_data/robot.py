"""The club's robot: its dials, and the balls that a coach noted one evening to calibrate them."""

from collections.abc import Iterator
from datetime import date

from demo_data.club import ROBOT, setup_on
from demo_data.dice import dice
from models.feeding_records import Feeder, Landing
from models.feeds import Feeds
from models.flight import simulate

FEEDERS = (
    Feeder.model_validate(
        {
            "feeder": ROBOT,
            "name": "the grey robot",
            "make": "(invented)",
            "speed_dial_lowest": 0,
            "speed_dial_highest": 10,
            "spin_dial_lowest": -5,
            "spin_dial_highest": 5,
        }
    ),
)

NOTED_ON = date(2026, 11, 9)
TILT_DEG = 10.0
SPEED_SETTINGS = (6.0, 6.5, 7.0, 7.5)
SPIN_SETTINGS = (-4.0, -2.0, 2.0, 4.0)
SPEED_SETTING_WITH_SPIN = 6.5
BALLS_EACH = 4

SPEED_AT_NOUGHT_MPS, SPEED_STEP_MPS, SPIN_STEP_RPS = 1.0, 0.8, 7.0
"""What the dials truly give; the screens ought to find it out."""


def landings() -> Iterator[Landing]:
    """First the balls without spin, then those with spin, in the order in which they were played."""
    marks = [(speed, None) for speed in SPEED_SETTINGS for _ in range(BALLS_EACH)]
    marks += [(SPEED_SETTING_WITH_SPIN, spin) for spin in SPIN_SETTINGS for _ in range(BALLS_EACH)]
    for ball, (speed_setting, spin_setting) in enumerate(marks, 1):
        yield _landing(ball, speed_setting, spin_setting)


def _landing(ball: int, speed_setting: float, spin_setting: float | None) -> Landing:
    """One ball, whose landing is noted to the centimetre."""
    chance, setup = dice("landing", ball), setup_on("BC", NOTED_ON)
    flight = simulate(
        Feeds.of(
            x_cm=setup.x_cm,
            y_cm=setup.y_cm,
            height_cm=setup.release_height_cm or 0,
            speed_mps=SPEED_AT_NOUGHT_MPS + SPEED_STEP_MPS * speed_setting + chance.gauss(0, 0.06),
            elevation_deg=TILT_DEG,
            yaw_deg=chance.gauss(1.0, 0.8),
            topspin_rps=SPIN_STEP_RPS * (spin_setting or 0) + chance.gauss(0, 0.5),
            sidespin_rps=0,
        )
    )
    return Landing(
        feeder=ROBOT,
        noted_on=NOTED_ON,
        ball=ball,
        setup=setup.setup,
        release_height_cm=setup.release_height_cm or 0,
        elevation_deg=TILT_DEG,
        speed_setting=speed_setting,
        spin_setting=spin_setting,
        topspin_rps=None,
        speed_mps=None,
        landing_x_cm=float(round(flight.landing_x_cm[0])),
        landing_y_cm=float(round(flight.landing_y_cm[0])),
        note=None,
    )
