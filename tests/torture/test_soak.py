"""A served club in which everything happens at once: nothing is lost, nobody meets an error, nothing grows.

For an hour: uv run python -m tests.torture.soak --minutes 60.
"""

import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.torture.children import run
from tests.torture.commands import halflong_in_full
from tests.torture.served_club import Ledger
from tests.torture.soak import MOST_MORE_HANDLES, Served, Soaked, served, soak, summary
from tests.torture.watching import PROC, Look, look_at

needs_proc = pytest.mark.skipif(not PROC.is_dir(), reason="no /proc here: memory and handles cannot be looked at")


@pytest.fixture(scope="module")
def a_served_club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("served")) as club:
        yield club


@needs_proc
@pytest.mark.proof
def test_loads_taps_builds_backups_erasures_and_page_views_at_once(a_served_club: Served) -> None:
    """The command line beside the screens: whoever has to wait is told so, and the screens show what came last."""
    soaked = soak(a_served_club, seconds=20)

    assert soaked.faults == [], summary(soaked)
    for done in ("loads", "withdrawals", "erasures", "builds", "backups", "taps", "pages"):
        assert soaked.ledger.done[done] > 0, summary(soaked)


@pytest.mark.proof
def test_whoever_serves_the_folder_a_second_time_is_told_where_it_is_served(
    a_served_club: Served, tmp_path: Path
) -> None:
    data = ["--data", str(a_served_club.club.folder.path)]

    second = run(halflong_in_full, "serve", "--no-open", *data, said=tmp_path / "second.txt")

    assert second.code == 1
    assert f"is served already at {a_served_club.url}. Use that one, or stop it first." in second.said
    assert a_served_club.club.people


SOUND = Soaked(
    ledger=Ledger(balls={"2026-07-01/A": 30}),
    found={"2026-07-01/A": 30},
    files_in_force=["A.csv"],
    looks=[Look(0, 90, 20), Look(60, 100, 25), Look(90, 149, 30), Look(600, 110, 20)],
    before=Look(0, 90, 20),
    after=Look(0, 100, 26 + MOST_MORE_HANDLES),
    tabs_kept=2,
)


@pytest.mark.parametrize(
    ("planted", "told"),
    [
        ({"looks": [*SOUND.looks, Look(601, 151, 20)]}, "memory grew to 1.51 times"),
        ({"after": Look(0, 100, 27 + MOST_MORE_HANDLES)}, "more handles are open than before"),
        ({"found": {}}, "lost: ['2026-07-01/A']"),
        ({"found": {"2026-07-01/A": 29}}, "lost: ['2026-07-01/A']"),
        ({"found": {"2026-07-01/A": 31}}, "double: ['2026-07-01/A']"),
        ({"found": SOUND.found | {"2026-07-02/withdrawn": 1}}, "double: ['2026-07-02/withdrawn']"),
        ({"files_in_force": ["A.csv", "A.csv"]}, "double: ['A.csv']"),
        ({"ledger": replace(SOUND.ledger, errors=["board: nothing was drawn"])}, "board: nothing was drawn"),
    ],
)
def test_each_planted_fault_of_a_soak_is_told_and_no_other(planted: dict[str, Any], told: str) -> None:
    (fault,) = replace(SOUND, **planted).faults

    assert told in fault
    assert SOUND.faults == []


@needs_proc
def test_a_process_that_takes_memory_and_opens_files_is_seen_to_do_so_and_its_children_too() -> None:
    grown = "import sys; kept = bytearray(b'1' * 50_000_000), [open('/dev/null') for _ in range(30)]"
    waits = "print(flush=True); sys.stdin.read()"
    command = f"[sys.executable, '-c', {f'{grown}; {waits}'!r}]"
    child = f"import subprocess, sys; kept = subprocess.Popen({command}, stdin=-1, stdout=-1); kept.stdout.readline()"
    looks = []
    for script in (f"import sys; {waits}", f"{grown}; {waits}", f"{child}; {waits}"):
        with subprocess.Popen([sys.executable, "-c", script], stdin=-1, stdout=-1, text=True) as process:
            assert process.stdout
            process.stdout.readline()
            looks.append(look_at(process.pid, 0))
            process.communicate()

    small, large, with_child = looks
    assert large.memory - small.memory > 50_000_000
    assert large.handles - small.handles == 30
    assert with_child.memory - small.memory > 50_000_000
    assert with_child.handles - small.handles >= 30
