"""What the words and numbers of the Setups page mean, and where they come from; one click away on the page."""

from dashboard.words.figures import Figures
from dashboard.words.phrases import label
from models.bearings import from_nearer_line
from models.coefficients import ALL_SETS
from models.flight import PLANE_BEHIND_END_CM
from models.incoming import HALF_LONG_TOLERANCE_CM
from models.ready import READY_BEHIND_END_CM, SHORT_ANGLES_CM
from models.settings import HURRIED_S, Settings
from models.stance import DEEP_CENTRE
from models.typical import FOREHAND_CM, NET_CLEARANCE_CM, TOPSPIN_RPS

DIALS = Figures(
    "report.dial_calibrations",
    ("slope", "slope_low", "slope_high", "balls", "unexplained", "verdict"),
    ("calibration_days", "calibration_balls"),
)
FED_FROM_HERE = Figures(
    "report.feed_physics",
    ("balls", "angle_low_deg", "bounce_low_s", "time_low_s", "time_band", "length_by_physics", "length_verdict"),
    ("hurried_below_s", "unhurried_from_s"),
)


def of_places(settings: Settings) -> str:
    """Markdown: the axes, depth and side, the angle of the head, the two ready positions."""
    return f"""
- **Places** are measured in cm from the middle of the end line opposite the player. Left and right are the player's.
- **Depth and side**: a feeder stands back below {settings.back_below_cm:g} cm, near the net from
  {settings.near_from_cm:g} cm on; within {settings.centre_within_cm:g} cm of the centre line it stands in the centre
  (settings of the club).
- **Deep centre** is the place on the centre line {from_nearer_line(DEEP_CENTRE).cm:g} cm before the player's end line
  (setting).
- **The angle of the head** is counted from straight along the table. For a ball without sidespin it is exactly the
  direction of the line from the feeder to the target.
- **The cone** holds the balls that may come from where the feeder stands to the player's two far corners; with short
  angles, also those that land from {SHORT_ANGLES_CM:g} cm behind the net on (setting).
- **Ready position**: the place on the bisector of the cone, with as much angle on either side,
  {READY_BEHIND_END_CM:g} cm behind the end line (setting). Tennis players are found to stand there (Benguigui et al.,
  Sci. Rep. 14, 2024, 3364, after Cochet 1933); that it holds for table tennis is an assumption. **Middle of the
  reach** is the other definition: as far to go to either side. A player's stronger side moves both; that is for the
  coach's eye.
"""


def of_flights() -> str:
    """Markdown: the typical balls, the ways to play them, the lengths, the times, and the sets of coefficients."""
    spins = ", ".join(f"{label(word)} {abs(rps):g}" for word, rps in TOPSPIN_RPS.items())
    gaps = ", ".join(f"{label(word)} {cm:g} cm" for word, cm in NET_CLEARANCE_CM.items())
    beside = ", ".join(f"{label(word)} {abs(cm):g} cm" for word, cm in FOREHAND_CM.items())
    sets = "\n".join(
        f"  - **{each.name}**, version {each.version}: {each.source} ({each.confirmed})." for each in ALL_SETS
    )
    return f"""
- **Words as numbers** (settings; typical spins are from memory, the rest is common practice without a source). Turns a
  second: {spins}. Height over the net: {gaps}. Beside the centre line: {beside}. A length is where the second bounce
  falls, and the landing is chosen for it. They say what such a ball is like, not what your feeder gives.
- **Only the head turned** is the same ball from the new place. The head turn holds if the feeder was moved without
  turning its body; check it with single balls.
- **Per cent** compare with the ball before the move. They hold well over the calculations, though the speeds do not.
- **Short, half-long, long**: where the second bounce falls; half-long within {HALF_LONG_TOLERANCE_CM:g} cm of the end
  line (setting). A ball that runs off a side line first is long.
- **The player's plane** is {PLANE_BEHIND_END_CM:g} cm behind the end line (setting); **contact** is
  there, or at the top of the bounce where the ball does not get so far.
- **{HURRIED_S:g} s**: reaction of the feet, 0.43 to 0.45 s at all levels (ITTF Sports Science Congress 2025, paper
  322967).
- **The calculations** differ in how the air and the table act on a ball; where they disagree, a range is shown.
  Published laws of lift differ by more than ten times, and no measured flight is as slow as a short ball: trust the
  changes more than the places, and check with single balls.
{sets}
"""


def of_check_balls() -> str:
    """Markdown: what single balls tell, and what not."""
    return f"""
- Single balls without sidespin, set for deep centre ({from_nearer_line(DEEP_CENTRE).cm:g} cm before the player's end
  line). The turn is the mean of the angles, seen from the feeder, between where each landed and deep centre.
- **The range** is Student's 95 % interval for that mean. Where it holds 0, the balls do not tell which way.
"""
