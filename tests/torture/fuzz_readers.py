"""The readers under a coverage-guided fuzzer: `uv run python -m tests.torture.fuzz_readers --cases 10000`.

Each family of files is fuzzed in a process of its own, so that a reader that hangs, takes too much memory or dies takes
only that process with it; the recipe of the file on which that happened is kept and named.
"""

import argparse
import faulthandler
import json
import random
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

FAMILIES = ("bytes", "text", "csv", "xlsx")
CASES = 10_000

LONGEST_S = 120
"""A file that is not read after so many seconds counts as a hang. Far more than any takes: the machine may be busy."""

MOST_MORE_MEMORY = 3_000_000_000
"""So many bytes of address space may be taken over what the process has before the first file."""

LONGEST_RECIPE = 4000
FIRST_RECIPES = 40

Examine = Callable[[bytes], None]


def main() -> None:
    """Fuzz every family and print what was found; exit code 1 where something was."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=CASES)
    parser.add_argument("--seed", type=int, default=6)
    parser.add_argument("--family", choices=FAMILIES, help="fuzz one family, in this process")
    parser.add_argument("--again", type=Path, help="try one kept recipe of that family again")
    parser.add_argument("--keep", type=Path, help="where recipes are kept; a new folder if not given")
    asked = parser.parse_args()
    keep = asked.keep or Path(tempfile.mkdtemp(prefix="halflong-fuzz-"))
    keep.mkdir(parents=True, exist_ok=True)
    if asked.again:
        with examining(asked.family, keep) as examine:
            examine(asked.again.read_bytes())
    elif asked.family:
        fuzz(asked.family, asked.cases, asked.seed, keep)
    else:
        found = [fuzzed.family for fuzzed in fuzz_all(asked.cases, asked.seed, keep) if not fuzzed.is_sound]
        raise SystemExit(f"found something in: {', '.join(found)}" if found else 0)


@dataclass(frozen=True)
class Fuzzed:
    """What became of one family of files."""

    family: str
    cases: int
    is_sound: bool


def fuzz_all(cases: int, seed: int, keep: Path) -> list[Fuzzed]:
    """Fuzz every family, one after the other, and print what became of it."""
    return [fuzz_apart(family, cases, seed, keep) for family in FAMILIES]


def fuzz_apart(family: str, cases: int, seed: int, keep: Path) -> Fuzzed:
    """Fuzz one family with its share of the cases in a process of its own."""
    share = -(-cases // len(FAMILIES))
    more = ["--family", family, "--cases", str(share), "--seed", str(seed), "--keep", str(keep)]
    done = subprocess.run(
        [sys.executable, "-m", "tests.torture.fuzz_readers", *more], capture_output=True, text=True, check=False
    )
    told = keep / f"{family}.json"
    figures = json.loads(told.read_text("utf-8")) if told.exists() else {"cases": 0}
    print(f"{family}: {_sentence(figures)}", flush=True)
    is_sound = done.returncode == 0 and figures["cases"] >= share
    if not is_sound:
        print(f"{family}: FOUND, exit code {done.returncode}. {keep / f'{family}-now'} is the recipe.")
        print(done.stderr[-4000:], flush=True)
    return Fuzzed(family, figures["cases"], is_sound)


def _sentence(figures: dict[str, int]) -> str:
    if not figures["cases"]:
        return "nothing was tried to the end."
    return (
        f"{figures['cases']} cases {figures['guided']}: {figures['refused_whole']} refused as a whole; of the others "
        f"{figures['lines_read']} lines read = {figures['lines_accepted']} accepted + "
        f"{figures['lines_refused']} refused, "
        f"{figures['mended']} files to mend read back as typed; at most {figures['peak_mb']} MB."
    )


def fuzz(family: str, cases: int, seed: int, keep: Path) -> None:
    """Guided by coverage where the fuzzer is installed; else by chance, and told so."""
    recipes = (random.Random(seed + at).randbytes(100 * (1 + at % 20)) for at in range(cases))
    if find_spec("atheris"):
        _fuzz_guided(family, cases, seed, keep, recipes)
        return
    with examining(family, keep, "by chance") as examine:
        for recipe in recipes:
            examine(recipe)


def _fuzz_guided(family: str, cases: int, seed: int, keep: Path, recipes: Iterable[bytes]) -> None:
    import atheris

    with atheris.instrument_imports(include=["ingest", "models"]):
        import tests.torture.fuzz_checks  # noqa: F401 - the readers are instrumented as they are imported
    corpus = keep / f"{family}-corpus"
    corpus.mkdir(exist_ok=True)
    for at, recipe in zip(range(FIRST_RECIPES), recipes, strict=False):
        (corpus / f"first-{at}").write_bytes(recipe)
    # The bounds of time and memory are ours: the fuzzer's own would stop at what a reader is allowed to take.
    bounds = ["-rss_limit_mb=0", "-timeout=86400", f"-max_len={LONGEST_RECIPE}", "-len_control=0"]
    told = [f"-atheris_runs={cases}", f"-seed={seed}", f"-artifact_prefix={keep}/{family}-"]
    with examining(family, keep, "guided by coverage") as examine:
        atheris.Setup([sys.argv[0], *told, *bounds, str(corpus)], examine)
        # With so many runs behind it, it ends the program.
        with suppress(SystemExit):
            atheris.Fuzz()


@contextmanager
def examining(family: str, keep: Path, guided: str = "again") -> Iterator[Examine]:
    """What tries one recipe within the bounds; at the end, the figures are written down."""
    from sql.warehouse import memory_warehouse
    from tests.torture.fuzz_cases import case_of
    from tests.torture.fuzz_checks import Figures, examine

    figures, now = Figures(), keep / f"{family}-now"

    def within_the_bounds(recipe: bytes) -> None:
        now.write_bytes(recipe)
        faulthandler.dump_traceback_later(LONGEST_S, exit=True)
        examine(case_of(family, recipe), connection, figures)
        faulthandler.cancel_dump_traceback_later()

    with memory_warehouse() as connection, bounded_memory():
        yield within_the_bounds
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000
    (keep / f"{family}.json").write_text(json.dumps(vars(figures) | {"peak_mb": peak_mb, "guided": guided}), "utf-8")
    now.unlink()


@contextmanager
def bounded_memory() -> Iterator[None]:
    """No more memory than the bound from here on."""
    taken = int(Path("/proc/self/statm").read_text("ascii").split()[0]) * resource.getpagesize()
    before = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (taken + MOST_MORE_MEMORY, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, before)


if __name__ == "__main__":
    main()
