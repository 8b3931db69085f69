"""The ball of a planned block from the side."""

from dashboard.drawings.side_view import Side, side_view
from dashboard.views.drawn import for_both, show
from dashboard.words.plan_setup import from_the_side, over_the_net
from models.block_setup import BlockSetup

WIDE = 320.0


def show_the_side(setup: BlockSetup) -> None:
    """The arc over the net; nothing where no calculation has such a ball, or its words leave spin or length open."""
    if not setup.path_cm:
        return
    side = Side(setup.path_cm)
    over = over_the_net(side.net_height_cm)
    show(*for_both(lambda width: side_view(side, over, from_the_side(setup, over), width), WIDE))
