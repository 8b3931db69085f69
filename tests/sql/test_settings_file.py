"""Settings written into club.toml by the screen: what else stands there stays, and each change can be taken back."""

from pathlib import Path

import pytest

from dashboard.words.settings_groups import FIXED, GROUPS
from models.settings import Settings
from sql.club.settings_changes import SettingsChange, without
from sql.folder import DataFolder, FolderProblem
from sql.settings_file import SettingsRefused, with_values, write_settings

WRITTEN = """\
# Our own file.
club_name = "Riverside"  # on the door
covered_balls = 12

[door]
hosts = ["club.example"]  # club_name = "not this one"
"""


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    (tmp_path / "club.toml").write_text(WRITTEN, encoding="utf-8")
    return DataFolder(tmp_path)


def test_comments_and_sections_stay_and_what_is_none_goes(folder: DataFolder) -> None:
    write_settings(folder, {"club_name": 'Ufer "Ost" \\ é', "covered_balls": None, "rate_balls": 25})

    text = folder.settings_file.read_text("utf-8")
    assert text.startswith("# Our own file.\n")
    assert text.endswith('[door]\nhosts = ["club.example"]  # club_name = "not this one"\n')
    settings = folder.settings()
    assert (settings.club_name, settings.covered_balls, settings.rate_balls) == ('Ufer "Ost" \\ é', 10, 25)


def test_what_cannot_be_a_setting_is_refused_by_name_and_the_file_stays(folder: DataFolder) -> None:
    with pytest.raises(SettingsRefused) as refused:
        write_settings(folder, {"covered_balls": 0, "time_zone": "Nowhere/At_all", "rate_balls": 30})

    assert refused.value.faults.keys() == {"covered_balls", "time_zone"}
    assert folder.settings_file.read_text("utf-8") == WRITTEN


def test_a_file_written_as_only_a_person_can_change_it_is_left_alone(folder: DataFolder) -> None:
    folder.settings_file.write_text('club_name = """\nTwo\nlines"""\n', encoding="utf-8")

    with pytest.raises(FolderProblem, match="club_name there by hand"):
        write_settings(folder, {"club_name": "One"})


def test_a_file_that_is_not_there_yet_is_begun() -> None:
    assert with_values("", {"club_name": "New"}) == 'club_name = "New"\n'


def test_taking_a_change_back_gives_what_counts_without_it() -> None:
    def change(number: int, before: int | None, after: int, *, is_taken_back: bool = False) -> SettingsChange:
        return SettingsChange(number, "2026-01-01", {"rate_balls": before}, {"rate_balls": after}, is_taken_back)

    three = (change(1, None, 25), change(2, 25, 30), change(3, 30, 35))
    assert without(three, 3) == {"rate_balls": 30}
    assert without(three, 1) == {"rate_balls": 35}, "a later change of the same setting stays"
    assert without((change(1, None, 25, is_taken_back=True), change(2, 25, 30)), 2) == {"rate_balls": None}


def test_every_setting_has_one_place_on_the_page() -> None:
    shown = [name for names in GROUPS.values() for name in names]

    assert sorted([*shown, *FIXED]) == sorted(Settings.model_fields)
