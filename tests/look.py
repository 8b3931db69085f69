"""Looks at every page: as everybody, on a desk and on a phone, in light and in dark; pictures, and a page of them.

`uv run python -m tests.look --out FOLDER [--beside FOLDER] [--role coach] [--page board] [--width 390] [--scheme dark]`

Starts the demo club, opens each page that is open to each kind of person, and saves what there is to see from top to
bottom. With `--beside`, pictures of the same name (`board-1280-light.png`) from another folder stand beside ours.
"""

import argparse
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from html import escape
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from dashboard import questions
from dashboard.commands.demo import prepare_demo
from dashboard.questions import owners_desk
from models.permits import EVERY_GROUP, Role
from sql.folder import DataFolder
from tests.conftest import BROWSER_FLAGS
from tests.door.served import screens
from tests.jumps import jumped
from tests.signing_in import cookie_of
from tests.tabs import PAGES

WIDTHS, SCHEMES, TALLEST = (1280, 390), ("light", "dark"), 8000
HEIGHTS = {1280: 900, 390: 844}
VISITOR, AT_THE_DOOR = "visitor", ("account/sign-in", "account/invitation/no-such-link")
OF_EVERYBODY = ("account", "table")
OF_ONE_PLAYER = ("one_player", "next_session")
PATIENCE_MS = 60_000

STREAMLITS = {view for views in PAGES.values() for view in views}

CONTENT_HEIGHT = """Math.ceil(Math.max(
    document.querySelector('[data-testid=stMain]')?.scrollHeight ?? 0, document.documentElement.scrollHeight))"""


@dataclass(frozen=True)
class Sight:
    """One page as one kind of person sees it, on one screen."""

    role: Role | None
    view: str
    width: int
    scheme: str

    @property
    def who(self) -> str:
        """Who looks: a role, or a visitor who is not signed in."""
        return self.role.value if self.role else VISITOR

    @property
    def picture(self) -> str:
        """The name of its picture."""
        return f"{self.who}-{self.view.rpartition('/')[2]}-{self.width}-{self.scheme}.png"


def sights(asked: argparse.Namespace) -> list[Sight]:
    """Everything that is asked for."""
    views: dict[Role | None, tuple[str, ...]] = {role: (*PAGES[role], *OF_EVERYBODY) for role in Role if role in PAGES}
    return [
        Sight(role, view, width, scheme)
        for role, open_views in (views | {None: AT_THE_DOOR}).items()
        if asked.role in (None, role.value if role else VISITOR)
        for width in WIDTHS
        if asked.width in (None, width)
        for scheme in SCHEMES
        if asked.scheme in (None, scheme)
        for view in open_views
        if asked.page in (None, view)
    ]


@contextmanager
def served_demo(place: Path) -> Iterator[tuple[DataFolder, str]]:
    """The demo club, built and served."""
    folder = DataFolder(place / "demo")
    prepare_demo(folder, today=date(2026, 11, 25), say=lambda _: None, progress=lambda *_: None)
    with screens(folder, place / "screens.log") as url:
        yield folder, url


@contextmanager
def browser() -> Iterator[Browser]:
    """A Chromium that asks nobody else for anything."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=BROWSER_FLAGS)
        yield opened
        opened.close()


def signed_in(folder: DataFolder, url: str, role: Role, player: str) -> Any:
    """The cookie of one of each role."""
    own = {Role.PLAYER: [player], Role.GUARDIAN: [player]}.get(role, [])
    groups = [EVERY_GROUP] if role is Role.COACH else []
    return cookie_of(folder, url, f"Look {role.value}", role, players=own, groups=groups)


def drawn(page: Page) -> None:
    """Wait until the page is as it will stay."""
    if page.url.rpartition("/")[2].partition("?")[0] in STREAMLITS:
        page.wait_for_selector(
            "[data-testid=stApp][data-test-script-state=notRunning][data-test-connection-state=CONNECTED]"
        )
    page.get_by_role("heading", level=1).first.wait_for()
    page.evaluate("document.fonts.ready")
    page.wait_for_timeout(700)  # Charts are drawn after the page.


def look(page: Page, url: str, sight: Sight, player: str, out: Path) -> int:
    """Save the picture of a page from top to bottom; how tall it is. Tells how much of it jumped while it was drawn."""
    page.set_viewport_size({"width": sight.width, "height": HEIGHTS[sight.width]})
    page.goto(f"{url}/{sight.view}" + (f"?player={player}" if sight.view in OF_ONE_PLAYER else ""))
    drawn(page)
    jumps = jumped(page)
    tall = min(int(page.evaluate(CONTENT_HEIGHT)), TALLEST)
    page.set_viewport_size({"width": sight.width, "height": max(tall, HEIGHTS[sight.width])})
    page.wait_for_timeout(200)
    page.screenshot(path=out / sight.picture)
    say(f"{sight.picture}: {tall} px tall, layout shift {jumps:.3f}")
    return tall


def look_at_all(folder: DataFolder, url: str, asked: argparse.Namespace, out: Path) -> dict[Sight, int]:
    """Every sight, and how tall each page is."""
    everything = sights(asked)
    player = asked.player or questions.players(owners_desk(folder))[0].player_id
    tall: dict[Sight, int] = {}
    with browser() as chromium:
        for role, scheme in dict.fromkeys((one.role, one.scheme) for one in everything):
            context = chromium.new_context(color_scheme=scheme)
            context.set_default_timeout(PATIENCE_MS)
            if role:
                context.add_cookies([signed_in(folder, url, role, player)])
            page = context.new_page()
            for sight in (one for one in everything if (one.role, one.scheme) == (role, scheme)):
                tall[sight] = look(page, url, sight, player, out)
            context.close()
    return tall


def gallery(tall: dict[Sight, int], out: Path, beside: Path | None) -> Path:
    """A page of all the pictures; beside each the one of the same name elsewhere, where there is one."""
    parts = ["<!doctype html><meta charset=utf-8><title>Every page</title><style>body{font:16px sans-serif}"]
    parts.append("figure{display:inline-block;vertical-align:top;margin:8px}img{border:1px solid #999}</style>")
    for sight, height in tall.items():
        parts.append(f"<h2>{escape(sight.picture)}, {height} px tall</h2>")
        parts += [_figure(file, sight.width) for file in _pictures(sight, out, beside)]
    page = out / "index.html"
    page.write_text("\n".join(parts), encoding="utf-8")
    return page


def _pictures(sight: Sight, out: Path, beside: Path | None) -> list[Path]:
    other = beside / f"{sight.view.replace('_', '-')}-{sight.width}-{sight.scheme}.png" if beside else None
    return [out / sight.picture, *([other] if other and other.exists() else [])]


def _figure(file: Path, width: int) -> str:
    picture = f'<img src="{escape(str(file.resolve()))}" width="{width if width < 600 else 640}">'
    return f"<figure>{picture}<figcaption>{escape(str(file.parent))}</figcaption></figure>"


def say(words: str) -> None:
    """Tell how far it is."""
    print(words, flush=True)


def main() -> int:
    """Look at what is asked for."""
    parser = argparse.ArgumentParser(description="Pictures of every page, as everybody, on a desk and on a phone.")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--beside", type=Path)
    parser.add_argument("--role", choices=[*(role.value for role in Role), VISITOR])
    parser.add_argument("--page")
    parser.add_argument("--player")
    parser.add_argument("--width", type=int, choices=WIDTHS)
    parser.add_argument("--scheme", choices=SCHEMES)
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place, served_demo(Path(place)) as (folder, url):
        tall = look_at_all(folder, url, asked, asked.out)
    say(f"All of them: {gallery(tall, asked.out, asked.beside)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
