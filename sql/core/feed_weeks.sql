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
        l.club_id,
        l.player_id,
        l.week,
        concat_ws(
            ' ',
            cast(u.valid_from as varchar),
            u.handedness,
            l.spin,
            coalesce(l.sidespin, 'any'),
            l.length,
            coalesce(l.placement, 'any'),
            coalesce(l.height, 'any'),
            l.setup_id
        ) as feed_kind,
        l.setup_id,
        u.valid_from,
        u.handedness,
        l.spin,
        l.sidespin,
        l.length,
        l.placement,
        l.height,
        l.balls
    from core.fed_lines as l
    inner join core.players as p on l.club_id = p.club_id and l.player_id = p.player_id
    inner join core.setups as u
        on
            l.club_id = u.club_id
            and l.setup_id = u.setup_id
            and p.handedness = u.handedness
            and l.session_date >= u.valid_from
            and (u.valid_to is null or l.session_date < u.valid_to)
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
