"""The torture in full: `uv run python -m tests.torture --full`. It takes an hour and more."""

import argparse
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.torture import fuzz_readers, soak
from tests.torture.fuzz_readers import Fuzzed
from tests.torture.small_disk import on_a_small_disk
from tests.torture.soak import Soaked
from tests.torture.victim import OPERATIONS, Figures, Victim

OLD_BACKUP = Path(__file__).parents[1] / "sql" / "old_backups" / "log-1.zip"
KILLS_IN_FULL, KILLS_IN_SHORT = 300, 12
CASES_IN_FULL, CASES_IN_SHORT = 10_000, 200
SOAK_IN_FULL_S, SOAK_IN_SHORT_S = 300.0, 15.0


@dataclass(frozen=True)
class Tortured:
    """What became of everything."""

    killed: Figures
    fuzzed: list[Fuzzed]
    disk: dict[str, int] | None
    """Loads on a small disk; None where none may be mounted."""
    soaked: Soaked

    @property
    def is_sound(self) -> bool:
        """Nothing was found anywhere. A small disk that is not as it should be has ended the run already."""
        return self.killed.are_sound and all(one.is_sound for one in self.fuzzed) and not self.soaked.faults


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help=f"{KILLS_IN_FULL} kills, {CASES_IN_FULL} files")
    parser.add_argument("--kills", type=int, help="so many kills")
    parser.add_argument("--cases", type=int, help="so many files for the readers")
    parser.add_argument("--seed", type=int, default=6)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        tortured = torture(
            Path(place),
            kills=asked.kills or (KILLS_IN_FULL if asked.full else KILLS_IN_SHORT),
            cases=asked.cases or (CASES_IN_FULL if asked.full else CASES_IN_SHORT),
            soak_s=SOAK_IN_FULL_S if asked.full else SOAK_IN_SHORT_S,
            in_full=asked.full,
            seed=asked.seed,
        )
    print(summary(tortured))
    raise SystemExit(not tortured.is_sound)


def torture(place: Path, *, kills: int, cases: int, soak_s: float, in_full: bool, seed: int) -> Tortured:
    """One thing after another, each in a folder of its own, telling how it goes."""
    for name in ("killed", "disk", "served"):
        (place / name).mkdir()
    victim = Victim(place / "killed", OLD_BACKUP, seed)
    kill_in_turn(victim, kills, tell=_tell)
    fuzzed = fuzz_readers.fuzz_all(cases, seed, Path(tempfile.mkdtemp(prefix="halflong-fuzz-")))
    disk = on_a_small_disk(place / "disk", *(["--full"] if in_full else []))
    with soak.served(place / "served") as club:
        soaked = soak.soak(club, soak_s, _tell)
    return Tortured(victim.figures, fuzzed, disk, soaked)


def _tell(sentence: str) -> None:
    print(f"... {sentence}", flush=True)


def kill_in_turn(victim: Victim, kills: int, tell: Callable[[str], None] = lambda _: None) -> None:
    """Kill operations, each kind in turn, until so many were killed."""
    turn = 0
    while victim.figures.kills < kills:
        victim.kill_one(OPERATIONS[turn % len(OPERATIONS)])
        turn += 1
        if turn % 30 == 0:
            tell(summary_of_kills(victim.figures))


def summary_of_kills(figures: Figures) -> str:
    """The figures in a sentence."""
    of_each = ", ".join(f"{name} {count}" for name, count in figures.killed.items())
    told = (
        f"{figures.kills} operations killed ({of_each}), {figures.ended_before} ended first; "
        f"{figures.acknowledged} batches acknowledged, {figures.lost} lost, {figures.half} half, "
        f"{figures.double} double; {len(figures.unmended)} times something was not mended by the next command."
    )
    return "\n".join([told, *figures.unmended[:5]])


def summary(tortured: Tortured) -> str:
    """All figures, and what they come to."""
    killed, soaked, disk = tortured.killed, tortured.soaked, tortured.disk
    found = [one.family for one in tortured.fuzzed if not one.is_sound]
    return "\n".join(
        [
            summary_of_kills(killed),
            f"{sum(one.cases for one in tortured.fuzzed)} files fuzzed; found something in: {found or 'none'}.",
            "No small disk may be mounted here." if disk is None else f"Loads on a small disk: {disk}; none was lost.",
            soak.summary(soaked),
            f"In all: operations killed {killed.kills}, files fuzzed {sum(one.cases for one in tortured.fuzzed)}, "
            f"batches acknowledged {killed.acknowledged + soaked.acknowledged}, "
            f"lost {killed.lost + len(soaked.lost)}, half {killed.half}, "
            f"double {killed.double + len(soaked.double)}; memory {soaked.memory_ratio:.2f} times, "
            f"handles {soaked.more_handles:+d}. {'All is sound.' if tortured.is_sound else 'NOT SOUND.'}",
        ]
    )


if __name__ == "__main__":
    main()
