"""One more coverage dimension is its words, its column and a migration; everything else is given the list."""

import json
import subprocess
import sys
from typing import Any

import pytest

from tests.made_up_dimension import copy_with_bounce


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    sources, data = tmp_path_factory.mktemp("sources"), tmp_path_factory.mktemp("data")
    copy_with_bounce(sources)
    command = [sys.executable, "-m", "tests.made_up_dimension", str(data)]
    done = subprocess.run(command, cwd=sources, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    answer: dict[str, Any] = json.loads(done.stdout)
    assert not answer["loaded"]
    return answer


def test_the_grid_has_a_combination_for_each_of_its_words(found: dict[str, Any]) -> None:
    assert found["grid"] == [["dead", "back | dead"], ["kicking", "back | kicking"]]


def test_what_was_logged_of_it_is_met_and_the_rest_is_not(found: dict[str, Any]) -> None:
    assert found["coverage"] == [["dead", 40], ["kicking", 0]]


def test_what_lacks_comes_next_and_is_planned_in_its_words(found: dict[str, Any]) -> None:
    assert found["next"][0] == ["kicking"]
    assert '"bounce": "kicking"' in json.dumps(found["plan"])


def test_the_phone_asks_for_it_between_the_words_of_the_log(found: dict[str, Any]) -> None:
    assert found["asked"] == ["spin", "sidespin", "length", "placement", "height", "bounce", "stroke"]
    assert found["words"] == ["dead", "kicking"]


def test_the_phone_offers_balls_with_it_what_lacks_and_what_was_lately(found: dict[str, Any]) -> None:
    assert found["offered"] == ["kicking", "dead"]
