"""The colours of the two themes, where Streamlit draws with them and where our own tables do."""

from pathlib import Path

import pytest

from dashboard.serving import CONFIG
from dashboard.tables.marks import STYLE
from tests.dashboard.contrast import contrast

DASHBOARD = Path(__file__).parents[2] / "dashboard"

PAGES = {"light": "#FFFFFF", "dark": CONFIG["theme.dark.backgroundColor"]}


def mixed(colour: str, page: str, share: float) -> str:
    """A colour laid over the page, so much of it opaque."""
    parts = [(int(colour[i : i + 2], 16), int(page[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(share * over + (1 - share) * under):02X}" for over, under in parts)


@pytest.mark.parametrize("theme", PAGES)
def test_what_is_selected_can_be_read(theme: str):
    """WCAG 2.2, 1.4.3. Streamlit 1.67 writes it in the primary colour on a tenth of it, as seen in a browser."""
    primary = CONFIG[f"theme.{theme}.primaryColor"]

    assert contrast(primary, mixed(primary, PAGES[theme], 0.1)) >= 4.5


def test_no_button_has_white_letters_on_the_light_primary_colour_of_the_dark_theme():
    """Streamlit writes white on the buttons of the kind "primary"; no colour does for both (WCAG 2.2, 1.4.3)."""
    views = [*DASHBOARD.glob("views/**/*.py"), DASHBOARD / "app.py", DASHBOARD / "frame.py"]

    assert len(views) > 10
    assert [view.name for view in views if 'type="primary"' in view.read_text(encoding="utf-8")] == []


def test_our_tables_stand_on_the_colour_of_the_page():
    assert f"--page: light-dark({PAGES['light']}, {PAGES['dark']})" in STYLE
