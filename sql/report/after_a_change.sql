-- Success on the first ball after a change beside success on the same ball again: one row per player, week and kind.
-- Only balls logged one by one know what came before them. A condition is setup, spin, sidespin, length, placement,
-- height and tempo band together; a change is counted within a block only, and a block's first ball is left out. The
-- two kinds may hold different mixes of balls, so these are counts, not yet the cost of a change.
-- grain: club_id, week, player_id, ball_kind
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   ball_kind: changed (the ball differs from the one before) or same
--   balls: balls of that kind in the window
--   good: of these, balls that landed where the drill asked
--   rate: good of balls (share of 1; empty: fewer balls than the setting rate_balls)
-- checks:
--   stop: good <= balls
with

conditions as (
    select
        club_id,
        session_id,
        week,
        player_id,
        block,
        ball_or_0 as ball,
        feed,
        good,
        concat_ws(
            ' | ',
            setup_id,
            spin,
            coalesce(sidespin, '-'),
            length,
            coalesce(placement, '-'),
            coalesce(height, '-'),
            coalesce(tempo_band, '-')
        ) as condition
    from core.fed_lines
    where ball_or_0 > 0
),

steps as (
    select
        club_id,
        week,
        player_id,
        good,
        condition,
        lag(condition) over (partition by club_id, session_id, player_id, block order by ball, feed) as condition_before
    from conditions
),

recent as (
    select
        p.club_id,
        p.week,
        p.player_id,
        case when s.condition = s.condition_before then 'same' else 'changed' end as ball_kind,
        count(*) as balls,
        cast(sum(s.good) as bigint) as good
    from core.player_weeks as p
    inner join steps as s
        on
            p.club_id = s.club_id
            and p.player_id = s.player_id
            and s.week >= p.window_start
            and s.week <= p.week
    where s.condition_before is not null
    group by
        p.club_id,
        p.week,
        p.player_id,
        case when s.condition = s.condition_before then 'same' else 'changed' end
)

select
    r.club_id,
    r.week,
    r.player_id,
    r.ball_kind,
    r.balls,
    r.good,
    case when r.balls >= g.rate_balls then r.good / nullif(r.balls, 0) end as rate
from recent as r
inner join core.settings as g on r.club_id = g.club_id
