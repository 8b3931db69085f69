"""Where feeders stand and what their dials give, and what balls are in physical terms."""

from dataclasses import dataclass
from datetime import date
from math import nan

from dashboard.rows.building import Words
from models.dial import DialLine, Quantity
from models.estimates import Estimate, estimate
from models.feeder_setup import FeederSetup
from models.planned import Feed
from models.records import LOGGED_DIMENSIONS
from models.typical import RELEASE_HEIGHT_CM


@dataclass(frozen=True, slots=True)
class SetupRow:
    """A setup as it stands now, as players of one hand meet it; places in cm, angles in degrees, empty: not noted."""

    setup_id: str
    handedness: str
    name: str
    feeder_id: str | None
    x_cm: float
    y_cm: float
    release_height_cm: float | None
    yaw_deg: float | None
    depth: str
    side: str

    @property
    def feeder_setup(self) -> FeederSetup:
        """The feeder as it stands there; a release height that was not noted is the usual one."""
        height_cm = RELEASE_HEIGHT_CM if self.release_height_cm is None else self.release_height_cm
        return FeederSetup(self.x_cm, self.y_cm, height_cm, self.yaw_deg, self.setup_id, self.name, self.feeder_id)


@dataclass(frozen=True, slots=True)
class MetSetupRow:
    """A setup as one player meets it now; places in cm."""

    setup_id: str
    name: str
    depth: str
    side: str
    x_cm: float
    y_cm: float


@dataclass(frozen=True, slots=True)
class HallSetupRow:
    """A setup as it stands now, as players of one hand meet it, and what feeds there (empty: not noted); cm."""

    setup_id: str
    handedness: str
    name: str
    feeding: str | None
    feeder_id: str | None
    depth: str
    side: str
    x_cm: float
    y_cm: float


@dataclass(frozen=True, slots=True)
class FeederRow:
    """A feeder with the ranges of its dials, in marks; empty: it has no such dial."""

    feeder_id: str
    name: str
    speed_dial_lowest: float
    speed_dial_highest: float
    spin_dial_lowest: float | None
    spin_dial_highest: float | None


@dataclass(frozen=True, slots=True)
class DialRow:
    """What a dial gives by one set of coefficients: a line in m/s or turns a second, empty where there is none."""

    feeder_id: str
    dial: str
    coefficients: str
    quantity: Quantity
    noted_to: date | None
    balls: int
    settings: int
    lowest_dial: float | None
    highest_dial: float | None
    intercept: float | None
    slope: float | None
    slope_low: float | None
    slope_high: float | None
    intercept_variance: float | None
    slope_variance: float | None
    covariance: float | None
    bend_p_value: float | None
    confidence: float | None
    verdict: str

    @property
    def is_known(self) -> bool:
        """Its balls tell what a step of the dial does."""
        return self.verdict in ("straight", "bends")

    @property
    def step(self) -> Estimate | None:
        """What one step of the dial adds, with its range."""
        return estimate(self.slope, self.slope_low, self.slope_high)

    @property
    def line(self) -> DialLine:
        """The line of a dial that is known."""
        numbers = {name: getattr(self, name) for name in DialLine.__dataclass_fields__}
        return DialLine(**numbers | {"bend_p_value": nan if self.bend_p_value is None else self.bend_p_value})


@dataclass(frozen=True, slots=True)
class FeedRow:
    """A kind of ball that the log has from a setup: ranges over the sets of coefficients, in degrees and seconds."""

    spin: str
    sidespin: str | None
    length: str
    placement: str | None
    height: str | None
    angle_band: str | None
    bounce_low_s: float | None
    bounce_high_s: float | None
    time_low_s: float | None
    time_high_s: float | None
    length_by_physics: str | None
    length_verdict: str | None


@dataclass(frozen=True, slots=True)
class BandRow:
    """Balls of a window that came from one angle, or so soon: of all that are told, as a share of 1; empty: none."""

    band: str
    balls: int
    told_balls: int
    share: float | None


@dataclass(frozen=True, slots=True)
class DoubtfulRow:
    """A kind of ball whose logged length it cannot have, and all such balls of the window."""

    setup_id: str
    spin: str
    length: str
    length_by_physics: str | None
    balls: int
    doubtful_balls: int


@dataclass(frozen=True, slots=True)
class FedRow:
    """A feed of a block that a player was fed lately, in the words of the log; empty: not noted."""

    session_date: date
    session_id: str
    block: int
    feed: int
    order_declared: str | None
    setup: str
    words: Words
    tempo_bpm: float | None
    stroke: str | None

    @property
    def phone_values(self) -> dict[str, str | float]:
        """What the log says of the ball, by its columns."""
        words = {name: self.words[name] for name in LOGGED_DIMENSIONS}
        by_column = {"setup": self.setup, **words, "tempo_bpm": self.tempo_bpm, "stroke": self.stroke}
        return {column: value for column, value in by_column.items() if value is not None}


@dataclass(frozen=True, slots=True)
class FedBallsRow:
    """A feed of a block in the log, in its words (empty: not noted), and how many balls there were."""

    session_id: str
    block: int
    feed: int
    setup: str
    words: Words
    tempo_bpm: float | None
    stroke: str | None
    balls: int

    @property
    def said(self) -> Feed:
        """What the log says of the ball, by its columns."""
        words = {name: self.words[name] for name in LOGGED_DIMENSIONS}
        by_column = {"setup": self.setup, **words, "tempo_bpm": self.tempo_bpm, "stroke": self.stroke}
        return {column: value for column, value in by_column.items() if value is not None}
