"""A club that is kept between runs is never older than what it is made of, and never half."""

import os
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from dashboard.commands import demo
from tests.kept import DEMO_IS_MADE_OF, FORGOTTEN_AFTER_S, fingerprint, kept_place, made_once


@pytest.fixture
def sources(tmp_path: Path) -> Path:
    (tmp_path / "sql" / "core").mkdir(parents=True)
    (tmp_path / "sql" / "core" / "balls.sql").write_text("select 1")
    (tmp_path / "uv.lock").write_text("version = 1")
    return tmp_path


def of(sources: Path) -> str:
    return fingerprint(("sql", "uv.lock"), sources)


def test_whatever_changes_of_the_sources_changes_the_fingerprint(sources: Path) -> None:
    model = sources / "sql" / "core" / "balls.sql"
    seen = [of(sources)]

    model.write_text("select 2")
    seen.append(of(sources))
    model.rename(model.with_name("feeds.sql"))
    seen.append(of(sources))
    (sources / "sql" / "new.py").touch()
    seen.append(of(sources))
    (sources / "uv.lock").write_text("version = 2")
    seen.append(of(sources))

    assert len(set(seen)) == 5


def test_what_is_compiled_or_lies_elsewhere_changes_nothing(sources: Path) -> None:
    before = of(sources)
    (sources / "sql" / "__pycache__").mkdir()
    (sources / "sql" / "__pycache__" / "build.pyc").touch()
    (sources / "README.md").touch()

    assert of(sources) == before


def test_a_part_that_is_not_there_is_told(sources: Path) -> None:
    with pytest.raises(FileNotFoundError):
        fingerprint(("sql", "uv.lok"), sources)


def test_the_demo_is_made_by_nothing_of_the_faces_but_the_module_that_is_named() -> None:
    used = [vars(demo).get(name) for name in demo.prepare_demo.__code__.co_names]
    homes = {getattr(one, "__module__", None) or getattr(one, "__name__", "") for one in used if one is not None}

    assert {home.replace(".", "/") + ".py" for home in homes if home.startswith("dashboard")} <= {*DEMO_IS_MADE_OF}
    assert any(home.startswith("ingest") for home in homes)


def test_a_club_is_made_once_however_many_ask_at_once(tmp_path: Path) -> None:
    made: list[Path] = []

    def make(draft: Path) -> None:
        made.append(draft)
        draft.mkdir()
        (draft / "club").touch()

    with ThreadPoolExecutor(4) as crowd:
        given = set(crowd.map(lambda _: made_once(tmp_path, "demo", make), range(4)))

    assert given == {tmp_path / "demo"}
    assert len(made) == 1
    assert [file.name for file in (tmp_path / "demo").iterdir()] == ["club"]


def test_what_was_left_half_made_is_made_anew(tmp_path: Path) -> None:
    def die(draft: Path) -> None:
        draft.mkdir()
        (draft / "half").touch()
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        made_once(tmp_path, "demo", die)
    made = made_once(tmp_path, "demo", lambda draft: draft.mkdir())

    assert list(made.iterdir()) == []


def test_clubs_of_other_sources_go_when_nobody_asks_for_them_any_more(tmp_path: Path) -> None:

    old, recent = tmp_path / "clubs" / "old", tmp_path / "clubs" / "recent"
    old.mkdir(parents=True)
    recent.mkdir()
    long_ago = time.time() - FORGOTTEN_AFTER_S - 1
    os.utime(old, (long_ago, long_ago))

    place = kept_place(("uv.lock",), tmp_path)

    assert {path.name for path in place.parent.iterdir()} == {"recent", place.name}
