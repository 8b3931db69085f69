"""Where the screens may be served, and how the door is set."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from streamlit import config

from dashboard.door.settings import SECRET_VARIABLE, read_door
from dashboard.services.served_folder import NotServed, served_at, served_once
from dashboard.serving import CONFIG, IN_THE_OPEN, _configure, own_names, place_for
from sql.folder import DataFolder, FolderProblem


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "192.168.1.20", "club.example"])  # noqa: S104
def test_without_tls_only_this_machine_is_served_unless_somebody_says_otherwise(address: str) -> None:
    with pytest.raises(NotServed, match="passwords too") as refusal:
        place_for(address, 8501)
    assert IN_THE_OPEN in str(refusal.value)
    assert "public_url" in str(refusal.value)

    assert place_for(address, 8501, in_the_open=True).port == 8501


@pytest.mark.parametrize(
    ("address", "url"),
    [
        ("127.0.0.1", "http://127.0.0.1:8501"),
        ("::1", "http://[::1]:8501"),
        ("0.0.0.0", "http://127.0.0.1:8501"),  # noqa: S104
        ("::", "http://[::1]:8501"),
    ],
)
def test_the_address_is_told_as_a_browser_here_calls_it(address: str, url: str) -> None:
    assert place_for(address, 8501, in_the_open=True).url == url


def test_streamlit_takes_no_upload_beyond_10_mb_and_believes_only_the_guard() -> None:
    assert CONFIG["server.maxUploadSize"] == 10
    assert json.loads(CONFIG["server.trustedUserHeaders"]) == {"x-halflong-account": "sub", "x-halflong-session": "sid"}
    assert CONFIG["client.showErrorDetails"] == "none"


def test_no_page_waits_for_a_look_through_everything_that_is_in_memory() -> None:
    _configure(CONFIG)

    assert config.get_option("runner.postScriptGC") is False


def test_a_server_that_others_reach_knows_its_own_name() -> None:
    assert own_names("127.0.0.1") == ()
    assert own_names("0.0.0.0")  # noqa: S104


def test_a_folder_is_served_once_and_the_second_is_told_where(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path)
    with (
        served_once(folder, "http://127.0.0.1:8501"),
        pytest.raises(NotServed, match=r"served already at http://127\.0\.0\.1:8501"),
        served_once(folder, "http://127.0.0.1:8502"),
    ):
        pass

    with served_once(folder, "http://127.0.0.1:8503"):
        assert served_at(folder) == "http://127.0.0.1:8503"
    assert served_at(folder) is None


def test_a_server_that_was_killed_leaves_the_folder_free(tmp_path: Path) -> None:
    script = (
        "import os, sys; from pathlib import Path; from sql.folder import DataFolder\n"
        "from dashboard.services.served_folder import served_once\n"
        "with served_once(DataFolder(Path(sys.argv[1])), 'http://gone'): os.kill(os.getpid(), 9)"
    )
    died = subprocess.run([sys.executable, "-c", script, tmp_path], check=False, timeout=60)

    assert died.returncode == -9
    assert served_at(DataFolder(tmp_path)) is None
    with served_once(DataFolder(tmp_path), "http://here"):
        assert served_at(DataFolder(tmp_path)) == "http://here"


def test_what_charts_take_as_they_find_it_is_whole_before_the_first_page(tmp_path: Path) -> None:
    """Else two people who open their first pages at once would meet half of it."""
    script = (
        "import sys; from pathlib import Path; from sql.folder import DataFolder\n"
        "from dashboard.door.settings import read_door\n"
        "from dashboard.serving import asgi_app\n"
        "asgi_app(read_door(DataFolder(Path(sys.argv[1])))); print({'pandas', 'altair'} <= sys.modules.keys())"
    )

    done = subprocess.run([sys.executable, "-c", script, tmp_path], check=True, capture_output=True, text=True)

    assert done.stdout == "True\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[door]\npublic_url = "http://club.example"', r"public_url.*https://club\.example, without a path"),
        ('[door]\npublic_url = "https://club.example/logs"', "without a path"),
        ('[door]\npublik_url = "https://club.example"', "publik_url"),
        ('door = "open"', r"expected a section \[door\]"),
        ('[door.provider]\nissuer = "http://id.example"\nclient_id = "x"', "begins with https"),
        ('[door.provider]\nissuer = "https://id.example"\nclient_id = "x"', SECRET_VARIABLE),
    ],
)
def test_a_door_that_is_set_wrongly_is_told_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, told: str
) -> None:
    monkeypatch.delenv(SECRET_VARIABLE, raising=False)
    (tmp_path / "club.toml").write_text(text, encoding="utf-8")

    with pytest.raises(FolderProblem, match=told):
        read_door(DataFolder(tmp_path))


def test_how_the_door_is_set_is_no_part_of_what_is_built_and_published(tmp_path: Path) -> None:
    (tmp_path / "club.toml").write_text(
        'club_id = "riverside"\n[door]\npublic_url = "https://club.example"\n', encoding="utf-8"
    )
    folder = DataFolder(tmp_path)

    assert folder.settings().club_id == "riverside"
    assert "club.example" not in folder.settings().model_dump_json()
    assert read_door(folder).cookie_name == "__Host-halflong-riverside"
