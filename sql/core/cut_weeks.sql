-- What each player was fed in each week, one row for each value of each cut.
-- grain: club_id, player_id, week, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed
--   good: balls that landed where the drill asked
with

cuts as (
    select
        club_id,
        player_id,
        week,
        'all' as cut,
        'all' as value,
        balls,
        good
    from core.fed_lines
    union all
    select
        club_id,
        player_id,
        week,
        'setup' as cut,
        setup_id as value,
        balls,
        good
    from core.fed_lines
    where setup_id is not null
    union all
    select
        club_id,
        player_id,
        week,
        'depth' as cut,
        depth as value,
        balls,
        good
    from core.fed_lines
    where depth is not null
    union all
    select
        club_id,
        player_id,
        week,
        'side' as cut,
        side as value,
        balls,
        good
    from core.fed_lines
    where side is not null
    union all
    select
        club_id,
        player_id,
        week,
        'spin_family' as cut,
        spin_family as value,
        balls,
        good
    from core.fed_lines
    where spin_family is not null
    union all
    select
        club_id,
        player_id,
        week,
        'spin' as cut,
        spin as value,
        balls,
        good
    from core.fed_lines
    where spin is not null
    union all
    select
        club_id,
        player_id,
        week,
        'sidespin' as cut,
        sidespin as value,
        balls,
        good
    from core.fed_lines
    where sidespin is not null
    union all
    select
        club_id,
        player_id,
        week,
        'length' as cut,
        length as value,
        balls,
        good
    from core.fed_lines
    where length is not null
    union all
    select
        club_id,
        player_id,
        week,
        'placement' as cut,
        placement as value,
        balls,
        good
    from core.fed_lines
    where placement is not null
    union all
    select
        club_id,
        player_id,
        week,
        'height' as cut,
        height as value,
        balls,
        good
    from core.fed_lines
    where height is not null
    union all
    select
        club_id,
        player_id,
        week,
        'tempo_band' as cut,
        tempo_band as value,
        balls,
        good
    from core.fed_lines
    where tempo_band is not null
    union all
    select
        club_id,
        player_id,
        week,
        'stroke' as cut,
        stroke as value,
        balls,
        good
    from core.fed_lines
    where stroke is not null
)

select
    club_id,
    player_id,
    week,
    cut,
    value,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good
from cuts
group by club_id, player_id, week, cut, value
