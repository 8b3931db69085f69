"""What the season hides on purpose: one player each, and what the screens ought to reveal."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Story:
    """One planted story: the code of its player, and the story in words."""

    player: str
    in_words: str


BACK_CENTRE_ONLY = Story("WAEM", "trains from the back centre only, against every spin and tempo")
SPIN_TIED_TO_DEPTH = Story(
    "MATO",
    "meets each depth, side, spin and tempo equally often, yet only a third of the combinations: "
    "topspin always comes from the back, no spin from the middle, backspin from near the net",
)
BACKSPIN_ONLY = Story("KAMU", "meets backspin only")
RISER = Story("TIAN", "rises steadily, from about 45 to about 75 good balls in a hundred")
NOISY = Story("OYGA", "swings widely from session to session, without a trend")
FALLS_AT_CHANGES = Story(
    "SOVA",
    "lands about 80 in a hundred while the ball stays the same, and about 55 on the first ball after a change; "
    "the ball-by-ball logs show it",
)
ABSENT = Story("PELO", "has not been there since the middle of October")
NEWCOMER = Story("ZOHA", "came for the first time in the last week and has hit 14 balls")
LEFT_HANDED = Story(
    "LUWE", "left-handed: most balls come from the setups on the left, which for this player is the forehand side"
)
ALL_ROUNDER = Story(
    "RUOL", "covers nearly the whole grid; only the fast balls from near the net on the backhand side are missing"
)
ONE_TEMPO = Story("ILKA", "hits more balls than anyone, all of them at one slow tempo")

STORIES = (
    BACK_CENTRE_ONLY,
    SPIN_TIED_TO_DEPTH,
    BACKSPIN_ONLY,
    RISER,
    NOISY,
    FALLS_AT_CHANGES,
    ABSENT,
    NEWCOMER,
    LEFT_HANDED,
    ALL_ROUNDER,
    ONE_TEMPO,
)
