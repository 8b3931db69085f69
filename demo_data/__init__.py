"""The invented demo club: its files, in the order in which they are loaded."""

from pathlib import Path

FOLDER = Path(__file__).parent


def demo_settings_file() -> Path:
    """The settings of the demo club."""
    return FOLDER / "club" / "club.toml"


def demo_files() -> list[Path]:
    """Players, feeders, setups, targets and landings first, then the logs week by week."""
    club = [FOLDER / "club" / f"{kind}.csv" for kind in ("players", "feeders", "setups", "targets", "landings")]
    return club + sorted((FOLDER / "logs").glob("20*-w*"))
