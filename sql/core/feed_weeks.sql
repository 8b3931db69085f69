-- Which kinds of feed each player was fed in each week: a setup as it stood, met by a hand, and the words of the ball.
-- grain: club_id, player_id, week, feed_kind
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   feed_kind: the kind of feed in words, its setup last; any: the line does not say
--   setup_id: the club's code for the setup
--   valid_from: first day on which the feeder stood so
--   handedness: the hand of the player (right, left)
--   spin: the spin of the fed ball
--   sidespin: the way the ball curved for the player (empty: not noted)
--   length: short, half_long, long
--   placement: where the ball came, as the player sees it (empty: not noted)
--   height: low, medium, high (empty: not noted)
--   balls: balls fed
with

named as (
    select
        club_id,
        player_id,
        week,
        concat_ws(
            ' ',
            cast(setup_valid_from as varchar),
            handedness,
            spin,
            coalesce(sidespin, 'any'),
            length,
            coalesce(placement, 'any'),
            coalesce(height, 'any'),
            setup_id
        ) as feed_kind,
        setup_id,
        setup_valid_from as valid_from,
        handedness,
        spin,
        sidespin,
        length,
        placement,
        height,
        balls
    from core.fed_lines
)

select
    club_id,
    player_id,
    week,
    feed_kind,
    setup_id,
    valid_from,
    handedness,
    spin,
    sidespin,
    length,
    placement,
    height,
    cast(sum(balls) as bigint) as balls
from named
group by
    club_id, player_id, week, feed_kind, setup_id, valid_from, handedness, spin, sidespin, length, placement, height
