"""The torture in full: `uv run python -m tests.torture --full`. It takes a quarter of an hour and more."""

import argparse
import tempfile
from pathlib import Path

from tests.torture.victim import OPERATIONS, Figures, Victim

OLD_BACKUP = Path(__file__).parents[1] / "sql" / "old_backups" / "log-1.zip"
KILLS_IN_FULL = 300
KILLS_IN_SHORT = 12


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help=f"{KILLS_IN_FULL} kills in place of {KILLS_IN_SHORT}")
    parser.add_argument("--kills", type=int, help="or so many")
    parser.add_argument("--seed", type=int, default=6)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        victim = Victim(Path(place), OLD_BACKUP, asked.seed)
        kill_in_turn(victim, asked.kills or (KILLS_IN_FULL if asked.full else KILLS_IN_SHORT), tells=True)
    print(summary(victim.figures))
    raise SystemExit(not victim.figures.are_sound)


def kill_in_turn(victim: Victim, kills: int, tells: bool = False) -> None:
    """Kill operations, each kind in turn, until so many were killed."""
    turn = 0
    while victim.figures.kills < kills:
        victim.kill_one(OPERATIONS[turn % len(OPERATIONS)])
        turn += 1
        if tells and turn % 30 == 0:
            print(f"... {summary(victim.figures)}", flush=True)


def summary(figures: Figures) -> str:
    """The figures in a sentence."""
    of_each = ", ".join(f"{name} {count}" for name, count in figures.killed.items())
    told = (
        f"{figures.kills} operations killed ({of_each}), {figures.ended_before} ended first; "
        f"{figures.acknowledged} batches acknowledged, {figures.lost} lost, {figures.half} half, "
        f"{figures.double} double; {len(figures.unmended)} times something was not mended by the next command."
    )
    return "\n".join([told, *figures.unmended[:5]])


if __name__ == "__main__":
    main()
