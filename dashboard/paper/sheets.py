"""What a sheet of paper is before it is set in type, and what every one of them says of itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from dashboard import questions
from dashboard.drawings.icons import mark
from dashboard.drawings.signs import shown
from dashboard.drawings.skins import PAPER
from dashboard.paper.parts import Part, as_values
from dashboard.questions import Desk
from dashboard.words.club import INVENTED, figures_up_to
from models.refusal import NotThere


class NotOnPaper(NotThere):
    """There is no such page; the text says why."""


@dataclass(frozen=True)
class Sheet:
    """The values for a template. `dated`: when the figures were made, so that the same figures make the same file."""

    template: str
    dated: datetime
    values: dict[str, Any]


def sheet(desk: Desk, title: str, template: str, parts: Sequence[Part] = (), **values: Any) -> Sheet:
    """A sheet of this club, with its parts and whatever else its template takes. Raises NothingPublished."""
    build, settings = questions.this_build(desk), questions.settings(desk)
    of_all = {
        "title": title,
        "mark": shown(mark(), skin=PAPER),
        "club": settings.club_name,
        "notice": INVENTED if settings.is_invented else None,
        "foot": figures_up_to(build.cut_off) if build.cut_off else "",
        "parts": as_values(parts),
    }
    return Sheet(template, build.built_at.replace(tzinfo=UTC, microsecond=0), of_all | values)
