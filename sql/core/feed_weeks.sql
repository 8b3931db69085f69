-- Which kinds of feed each player was fed in each week: a setup as it stood, met by a hand, and the words of the ball.
-- grain: club_id, player_id, week, feed_kind
-- carried: by week
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

fed as (
    select
        l.club_id,
        l.player_id,
        l.week,
        l.setup_valid_from,
        k.setup_id,
        k.spin,
        k.sidespin,
        k.length,
        k.placement,
        k.height,
        sum(l.balls) as balls
    from core.block_feeds as l
    inner join core.conditions as k on l.club_id = k.club_id and l.condition = k.condition
    group by
        l.club_id,
        l.player_id,
        l.week,
        l.setup_valid_from,
        k.setup_id,
        k.spin,
        k.sidespin,
        k.length,
        k.placement,
        k.height
)

select
    f.club_id,
    f.player_id,
    f.week,
    concat_ws(
        ' ',
        cast(f.setup_valid_from as varchar),
        p.handedness,
        f.spin,
        coalesce(f.sidespin, 'any'),
        f.length,
        coalesce(f.placement, 'any'),
        coalesce(f.height, 'any'),
        f.setup_id
    ) as feed_kind,
    f.setup_id,
    f.setup_valid_from as valid_from,
    p.handedness,
    f.spin,
    f.sidespin,
    f.length,
    f.placement,
    f.height,
    cast(f.balls as bigint) as balls
from fed as f
left join core.players as p on f.club_id = p.club_id and f.player_id = p.player_id
