"""Where the feeders of the club stand, and the mix of balls that the club wants."""

from datetime import date

from models.feeding_records import Setup
from models.records import TargetShare
from models.settings import Settings
from models.words import SPIN

BACK = ("BL", "BC", "BR")
MIDDLE = ("ML", "MC", "MR")
NEAR = ("NL", "NC", "NR")
"""The robot's nine places, each row from the player's left to the player's right."""

ROBOT = "R1"
MULTIBALL = "MB"
PARTNER = "PA"

SETTINGS = Settings.model_validate(
    {"club_id": "demo", "club_name": "Lirrowford Table Tennis Club (invented)", "is_invented": True}
)


def _robot(code: str, name: str, x_cm: float, y_cm: float, yaw_deg: float, **more: object) -> Setup:
    return _stand(code, name, x_cm, y_cm, yaw_deg, **{"feeding": "robot", "feeder": ROBOT, "net_folded": False} | more)


def _stand(code: str, name: str, x_cm: float, y_cm: float, yaw_deg: float, **more: object) -> Setup:
    place = {"setup": code, "name": name, "x_cm": x_cm, "y_cm": y_cm, "release_height_cm": 25, "yaw_deg": yaw_deg}
    return Setup.model_validate(place | more)


SETUPS = (
    _robot("BL", "back left corner", -20, -65, 10),
    _robot("BC", "back centre", -15, 0, 0),
    _robot("BR", "back right corner", -20, 55, -8, valid_from=date(2026, 1, 5)),
    _robot("BR", "back right corner", -30, 70, -10, valid_from=date(2026, 8, 3), note="moved out for the wide angle"),
    _robot("ML", "middle left", 60, -50, 8),
    _robot("MC", "middle", 60, 0, 0),
    _robot("MR", "middle right", 60, 50, -8),
    _robot("NL", "near left", 100, -45, 6),
    _robot("NC", "near, net folded", 108, 0, 0, release_height_cm=18, net_folded=True),
    _robot("NR", "near right", 100, 45, -6),
    _stand(MULTIBALL, "multiball", 15, -95, 20, feeding="multiball", valid_from=date(2026, 1, 5)),
    _stand(
        MULTIBALL,
        "multiball",
        55,
        -95,
        22,
        feeding="multiball",
        valid_from=date(2026, 9, 7),
        note="a step forward: this is the middle of the half now, no longer the back",
    ),
    _stand(PARTNER, "partner", -60, 10, 0, feeding="partner", release_height_cm=20),
)


def setup_on(code: str, day: date) -> Setup:
    """How a setup stood on a day."""
    return max(
        (setup for setup in SETUPS if setup.setup == code and (setup.valid_from or date.min) <= day),
        key=lambda setup: setup.valid_from or date.min,
    )


def _shares(target: str, applies_to: str, dimension: str, **share_of: float) -> list[TargetShare]:
    return [
        TargetShare(target=target, applies_to=applies_to, dimension=dimension, value=value, share=share)
        for value, share in share_of.items()
    ]


TARGETS = (
    *_shares("season", "*", "depth", back=0.4, middle=0.3, near=0.3),
    *_shares("season", "*", "side", forehand=0.35, centre=0.3, backhand=0.35),
    *_shares("season", "*", "spin_family", backspin=0.4, no_spin=0.2, topspin=0.4),
    *_shares("season", "*", "tempo_band", slow=0.5, fast=0.5),
    *_shares("first-steps", "Minis", "depth", back=0.6, middle=0.4),
    *_shares("first-steps", "Minis", "side", forehand=0.35, centre=0.3, backhand=0.35),
    *_shares("first-steps", "Minis", "spin_family", backspin=0.5, topspin=0.5),
)


def spin_family(spin: str) -> str:
    """The family of a spin: backspin, no_spin or topspin."""
    return next(word.family for word in SPIN.words if word.name == spin and word.family)
