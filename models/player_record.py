"""The record of a player."""

from datetime import date
from typing import Annotated

from pydantic import Field

from models.log_line import LogLine
from models.shapes import Code, Day, OneOf, Text, WholeNumber, YesOrNo
from models.words import HANDEDNESS


class Player(LogLine):
    """A player of the club."""

    kind = "players"
    about = "Who plays. One line is one player; a later line for the same player replaces the earlier one."
    identity = ("player",)

    player: Annotated[str, Code()] = Field(description="the club's short code for the player", examples=["P01"])
    name: Annotated[str | None, Text(80)] = Field(
        None, description="the name as it shall stand on the screens; empty is the code", examples=["Ada Lind"]
    )
    handedness: Annotated[str, OneOf(HANDEDNESS)] = Field(description="the playing hand", examples=["right"])
    group: Annotated[str | None, Code()] = Field(None, description="the training group", examples=["Juniors"])
    birth_year: Annotated[int | None, WholeNumber(1900, 2100, "year")] = Field(
        None, description="the year of birth only, for youth guidance; leave it empty if not needed", examples=["2011"]
    )
    level: Annotated[str | None, Text(40)] = Field(
        None, description="the club's own word for the level", examples=["club"]
    )
    joined_on: Annotated[date | None, Day()] = Field(None, description="first day in the club", examples=["2025-09-01"])
    active: Annotated[bool | None, YesOrNo()] = Field(
        None, description="trains at present; empty is yes", examples=["yes"]
    )
    consent_on: Annotated[date | None, Day()] = Field(
        None,
        description="the day on which the player, or a guardian, agreed to the keeping of this log",
        examples=["2025-09-01"],
    )
    hand_since: Annotated[date | None, Day()] = Field(
        None,
        description="the day from which the player plays with this hand, and with the other before; empty is always",
        examples=[""],
    )
