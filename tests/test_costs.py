"""A default test that costs much is named at the end of the run, and a proof is not."""

import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests import costs
from tests.conftest import pytest_collection_modifyitems

ROOT = Path(__file__).parents[1]


def test_a_costly_test_is_named_and_no_other(tmp_path: Path) -> None:
    (tmp_path / "conftest.py").write_text(
        "from tests import costs\n"
        "from tests.costs import pytest_runtest_call, pytest_runtest_setup, pytest_terminal_summary\n"
        "costs.COSTLY_S = 0.1\n"
        "def pytest_configure(config): config.addinivalue_line('markers', 'proof: long')\n"
    )
    (tmp_path / "test_some.py").write_text(
        "import time, pytest\n"
        "def work():\n"
        "    end = time.process_time() + 0.2\n"
        "    while time.process_time() < end: pass\n"
        "def test_works(): work()\n"
        "def test_waits(): time.sleep(0.3)\n"
        "@pytest.mark.proof\n"
        "def test_works_for_a_proof(): work()\n"
    )
    command = [sys.executable, "-m", "pytest", "-q", "--rootdir", tmp_path, "-c", "/dev/null", "-p", "no:cacheprovider"]
    done = subprocess.run([*command, tmp_path], cwd=ROOT, capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stdout + done.stderr
    named = [line for line in done.stdout.splitlines() if " s  " in line]
    assert [line.rpartition("::")[2] for line in named] == ["test_works"]


def test_the_files_that_took_longest_go_first_each_in_one_piece(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(costs, "DURATIONS", tmp_path / "seconds.json")
    costs.DURATIONS.write_text(json.dumps({"tests/test_a.py": 3.0, "tests/test_b.py": 40.0}), "utf-8")
    names = ["tests/test_a.py::1", "tests/test_b.py::1", "tests/test_b.py::2", "tests/torture/test_new.py::1"]
    items = [
        SimpleNamespace(nodeid=name, path=Path(name.partition("::")[0]), get_closest_marker=lambda _: None)
        for name in names
    ]

    pytest_collection_modifyitems(items)  # type: ignore[arg-type]

    assert [item.nodeid for item in items] == [names[3], names[1], names[2], names[0]]
