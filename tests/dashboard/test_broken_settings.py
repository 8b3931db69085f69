"""A club.toml that cannot be read is told on the screen, in a sentence."""

from streamlit.testing.v1 import AppTest

from sql.folder import DataFolder
from tests.dashboard.conftest import APP
from tests.signing_in import user_of


def test_broken_settings_are_told_on_the_page(small_club: DataFolder) -> None:
    small_club.settings_file.write_text("window_days = 'four weeks'\n", encoding="utf-8")

    app = AppTest.from_file(APP, default_timeout=60).run()

    assert not app.exception
    assert "window_days: saw 'four weeks'" in app.error[0].value


def test_sound_settings_open_the_first_page(small_club: DataFolder) -> None:
    assert small_club.settings().club_name

    app = AppTest.from_file(APP, default_timeout=60)
    app.user = user_of(small_club)
    app.run()

    assert not app.exception
    assert not app.error
    assert app.title[0].value == "The club's week"
