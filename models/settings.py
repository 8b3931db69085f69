"""The club's settings: thresholds without a published basis, each with its meaning. Read from club.toml."""

from pydantic import BaseModel, ConfigDict, Field


class Settings(BaseModel):
    """Everything a club may set. The values here are to begin with; none of them is a published standard."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    club_id: str = Field(
        "club",
        min_length=1,
        max_length=40,
        pattern=r"^[a-z0-9][a-z0-9_-]*$",
        description="short name of the club, part of every key; lower case letters, digits, - and _",
    )
    club_name: str = Field("Our club", min_length=1, max_length=80, description="the name shown on the screens")
    is_invented: bool = Field(False, description="the data are invented; every page says so")
    window_days: int = Field(
        28, ge=7, le=365, multiple_of=7, description="days that count as recent, ending with the Sunday of a week"
    )
    covered_balls: int = Field(10, ge=1, le=500, description="balls in the window that make a combination covered")
    rate_balls: int = Field(20, ge=1, le=500, description="fewest balls for which a success rate is shown")
    variety_short_share: float = Field(
        0.5,
        ge=0,
        le=1,
        description="a player who covers less of the target grid than this is counted as short of variety",
    )
    likeness_decay: float = Field(
        2.0, gt=0, le=10, description="how fast two balls become different as their words move apart"
    )
    slow_below_bpm: float = Field(40, gt=0, le=200, description="tempo below this is slow")
    fast_from_bpm: float = Field(60, gt=0, le=200, description="tempo from this on is fast")
    back_below_cm: float = Field(30, ge=-600, le=137, description="a feeder with x below this stands back")
    near_from_cm: float = Field(91, ge=-600, le=137, description="a feeder with x from this on stands near the net")
    centre_within_cm: float = Field(
        25, ge=0, le=350, description="a feeder at most this far from the centre line stands in the centre"
    )
