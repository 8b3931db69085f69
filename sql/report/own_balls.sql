-- How many of the balls that figures rest on the player logged of themselves, without a coach who accepted them.
-- grain: club_id, week, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   balls: balls fed in the window (0: none)
--   own_balls: of these, balls that the player logged and nobody has accepted
-- checks:
--   stop: own_balls <= balls
with

sessions as (
    select
        club_id,
        player_id,
        session_date,
        cast(sum(balls) as bigint) as balls,
        cast(sum(case when is_own then balls else 0 end) as bigint) as own_balls
    from core.fed_lines
    group by club_id, player_id, session_date
)

select
    p.club_id,
    p.week,
    p.player_id,
    cast(coalesce(sum(s.balls), 0) as bigint) as balls,
    cast(coalesce(sum(s.own_balls), 0) as bigint) as own_balls
from core.player_weeks as p
left join sessions as s
    on
        p.club_id = s.club_id
        and p.player_id = s.player_id
        and s.session_date between p.window_start and p.week_end
group by p.club_id, p.week, p.player_id
