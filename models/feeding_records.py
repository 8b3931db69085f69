"""The records of what feeds: feeders with their dials, where they stand, and where their balls were seen to land."""

from datetime import date
from typing import Annotated

from pydantic import Field

from models.log_line import LineRule, LogLine
from models.shapes import Code, Day, Number, OneOf, Text, WholeNumber, YesOrNo
from models.words import FEEDING


class Feeder(LogLine):
    """A machine that feeds, and the range of its dials."""

    kind = "feeders"
    about = (
        "Which machines feed. One line is one feeder with the range of its dials, as they are marked; a later line for "
        "the same feeder replaces the earlier one. Who feeds by hand has no dial, and needs no line here."
    )
    identity = ("feeder",)

    feeder: Annotated[str, Code()] = Field(description="the club's short code for the feeder", examples=["R1"])
    name: Annotated[str | None, Text(80)] = Field(
        None, description="what the club calls it; empty is the code", examples=["the old robot"]
    )
    make: Annotated[str | None, Text(80)] = Field(None, description="maker and model, as on its plate", examples=[""])
    speed_dial_lowest: Annotated[float, Number(-1000, 1000)] = Field(
        description="the lowest mark of the speed dial", examples=["0"]
    )
    speed_dial_highest: Annotated[float, Number(-1000, 1000)] = Field(
        description="the highest mark of the speed dial", examples=["10"]
    )
    spin_dial_lowest: Annotated[float | None, Number(-1000, 1000)] = Field(
        None, description="the lowest mark of the spin dial; empty: it has none", examples=["-5"]
    )
    spin_dial_highest: Annotated[float | None, Number(-1000, 1000)] = Field(
        None, description="the highest mark of the spin dial; empty: it has none", examples=["5"]
    )
    note: Annotated[str | None, Text(500)] = Field(None, description="anything worth remembering", examples=[""])

    rules = (
        LineRule(
            "speed_dial_highest",
            ("speed_dial_lowest", "speed_dial_highest"),
            lambda speed_dial_lowest, speed_dial_highest: speed_dial_lowest < speed_dial_highest,
            "a mark above the lowest",
            "give the lowest and the highest mark of the dial",
        ),
        LineRule(
            "spin_dial_highest",
            ("spin_dial_lowest", "spin_dial_highest"),
            lambda spin_dial_lowest, spin_dial_highest: spin_dial_lowest < spin_dial_highest,
            "a mark above the lowest",
            "give the lowest and the highest mark of the dial",
        ),
    )


class Setup(LogLine):
    """A place and a posture of a feeder."""

    kind = "setups"
    about = (
        "Where the feeder stands. One line is one setup from one day on; a setup that is moved gets a new line with a "
        "new valid_from. The origin is the middle of the end line opposite the player, at the table surface."
    )
    identity = ("setup", "valid_from")

    setup: Annotated[str, Code()] = Field(description="the club's short code for the setup", examples=["BC"])
    name: Annotated[str | None, Text(80)] = Field(
        None, description="what the club calls it; empty is the code", examples=["back centre"]
    )
    feeding: Annotated[str | None, OneOf(FEEDING)] = Field(None, description="who or what feeds", examples=["robot"])
    feeder: Annotated[str | None, Code()] = Field(
        None, description="the code of a feeder that is in the feeders log; empty: any, or none", examples=[""]
    )
    x_cm: Annotated[float, Number(-560, 136, "cm")] = Field(
        description="towards the player: 0 at the end line, 137 at the net, negative behind the table", examples=["-20"]
    )
    y_cm: Annotated[float, Number(-350, 350, "cm")] = Field(
        description="sideways: 0 on the centre line, positive to the player's right", examples=["0"]
    )
    release_height_cm: Annotated[float | None, Number(-60, 200, "cm")] = Field(
        None, description="where the ball leaves, above the table surface", examples=["25"]
    )
    yaw_deg: Annotated[float | None, Number(-90, 90, "deg")] = Field(
        None, description="how the head is turned: 0 along the table, positive to the player's right", examples=["0"]
    )
    net_folded: Annotated[bool | None, YesOrNo()] = Field(
        None, description="the feeder's own catch net is folded away", examples=["no"]
    )
    valid_from: Annotated[date | None, Day()] = Field(
        None, description="the day from which the setup stands so; empty is always", examples=["2026-01-05"]
    )
    note: Annotated[str | None, Text(500)] = Field(None, description="anything worth remembering", examples=[""])


class Landing(LogLine):
    """Where one ball landed, and how the dials stood."""

    kind = "landings"
    about = (
        "Noted landings, to calibrate a feeder. One line is one ball: how the dials stood, and where it first met the "
        "player's half. Balls without spin at two or more settings of the speed dial come first; balls with spin "
        "calibrate the spin dial."
    )
    identity = ("feeder", "noted_on", "ball")

    feeder: Annotated[str, Code()] = Field(
        description="the code of a feeder that is in the feeders log", examples=["R1"]
    )
    noted_on: Annotated[date, Day()] = Field(description="the day of the ball", examples=["2026-03-02"])
    ball: Annotated[int, WholeNumber(1, 5000)] = Field(
        description="the number of the ball among those of that feeder and day, from 1", examples=["1"]
    )
    setup: Annotated[str, Code()] = Field(
        description="where the feeder stood: the code of a setup that is in the setups log", examples=["BC"]
    )
    release_height_cm: Annotated[float, Number(-60, 200, "cm")] = Field(
        description="where the ball left, above the table surface", examples=["25"]
    )
    elevation_deg: Annotated[float, Number(-85, 85, "deg")] = Field(
        description="the tilt of the head: 0 is level, positive is upwards", examples=["8"]
    )
    speed_setting: Annotated[float, Number(-1000, 1000)] = Field(description="how the speed dial stood", examples=["4"])
    spin_setting: Annotated[float | None, Number(-1000, 1000)] = Field(
        None,
        description="how the spin dial stood, with a minus for backspin if the dial itself does not tell; empty: a "
        "ball without spin, or of a known one",
        examples=[""],
    )
    topspin_rps: Annotated[float | None, Number(-150, 150, "turns a second")] = Field(
        None, description="the spin where it is known otherwise, negative for backspin; empty: none", examples=[""]
    )
    speed_mps: Annotated[float | None, Number(0.1, 35, "m/s")] = Field(
        None, description="the speed where it was measured; empty: what the speed dial gives", examples=[""]
    )
    landing_x_cm: Annotated[float, Number(137, 274, "cm")] = Field(
        description="where it landed, from the end line opposite the player: 137 at the net, 274 at the player's end "
        "line",
        examples=["240"],
    )
    landing_y_cm: Annotated[float, Number(-76.25, 76.25, "cm")] = Field(
        description="where it landed, sideways: 0 on the centre line, positive to the player's right", examples=["-5"]
    )
    note: Annotated[str | None, Text(500)] = Field(None, description="anything worth remembering", examples=[""])
