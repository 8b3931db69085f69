"""The ball from the side on a page."""

from dashboard.drawings.side_view import Path, Side, side_view
from dashboard.views.drawn import for_both, show
from dashboard.words import setup_figures
from models.moved_ball import Way

WIDE = 540


def show_the_side(way: Way, before: Path = ()) -> None:
    """The arc over the net; the one before a move too."""
    alternative = setup_figures.from_the_side(way, is_moved=bool(before))
    side, words = Side(way.path_cm, before), setup_figures.over_the_net(way)
    show(*for_both(lambda width: side_view(side, words, alternative, width), WIDE))
