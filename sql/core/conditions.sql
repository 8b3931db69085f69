-- The kinds of ball that were ever fed: one row per condition.
-- grain: club_id, condition
-- columns:
--   club_id: short name of the club
--   condition: everything in which the fed ball may differ from another, in words
--   setup_id: the club's code for the setup
--   depth: where the feeder stood: back, middle, near
--   side: on which side of the player it stood: forehand, centre, backhand
--   spin_family: backspin, no_spin, topspin
--   spin: the spin of the fed ball
--   sidespin: the way the ball curved for the player (empty: not noted)
--   length: short, half_long, long
--   placement: where the ball came, as the player sees it (empty: not noted)
--   height: low, medium, high (empty: not noted)
--   tempo_band: slow, medium, fast (empty: not noted)
select distinct
    club_id,
    condition,
    setup_id,
    depth,
    side,
    spin_family,
    spin,
    sidespin,
    length,
    placement,
    height,
    tempo_band
from core.fed_lines
