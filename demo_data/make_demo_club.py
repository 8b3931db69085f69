"""Writes the demo club: `uv run python -m demo_data.make_demo_club [FOLDER]`. The same bytes every time."""

import sys
from pathlib import Path

from demo_data import FOLDER
from demo_data.dates import FIRST_MONDAY, LAST_SUNDAY
from demo_data.files import WEB_PAGE_FILE, club_files, log_files, web_page
from demo_data.guide import mistakes_table, readme


def make_demo_club(folder: Path) -> list[Path]:
    """Writes every file of the demo club into the folder and returns their paths."""
    logs = log_files()
    mistakes = [mistake for log in logs for mistake in log.mistakes()]
    contents = {
        **{Path("club") / name: content for name, content in club_files().items()},
        **{Path("logs") / log.name: log.content() for log in logs},
        Path("logs") / WEB_PAGE_FILE: web_page(),
        Path("planted_mistakes.csv"): mistakes_table(mistakes),
        Path("README.md"): readme(mistakes, weeks=((LAST_SUNDAY - FIRST_MONDAY).days + 1) // 7),
    }
    return [_write(folder / path, content) for path, content in contents.items()]


def _write(path: Path, content: bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    return path


if __name__ == "__main__":
    written = make_demo_club(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
    print(f"{len(written)} files, {sum(path.stat().st_size for path in written) / 1e6:.2f} MB")
