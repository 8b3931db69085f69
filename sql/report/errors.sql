-- Which mistakes go with which spin: one row per player, week, spin and kind of mistake, over the window.
-- Only lines that name every mistake count; a line that says no more than good and balls is left out.
-- grain: club_id, week, player_id, spin, outcome
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   spin: the spin of the fed ball
--   outcome: net, long, wide, missed
--   balls: balls with that mistake in the window
--   noted_balls: all balls of that spin on lines that name their mistakes
--   share: balls of noted_balls (share of 1)
-- checks:
--   stop: share >= 0 and share <= 1
with

noted as (
    select
        club_id,
        player_id,
        week,
        spin,
        sum(balls) as balls,
        sum(net) as net,
        sum(long) as long,
        sum(wide) as wide,
        sum(missed) as missed
    from core.fed_lines
    where net is not null
    group by club_id, player_id, week, spin
),

mistakes as (
    select word as outcome
    from core.words
    where list = 'outcome' and word <> 'good'
),

recent as (
    select
        p.club_id,
        p.week,
        p.player_id,
        n.spin,
        m.outcome,
        sum(
            case m.outcome when 'net' then n.net when 'long' then n.long when 'wide' then n.wide else n.missed end
        ) as balls,
        sum(n.balls) as noted_balls
    from core.player_weeks as p
    inner join noted as n
        on
            p.club_id = n.club_id
            and p.player_id = n.player_id
            and n.week >= p.window_start
            and n.week <= p.week
    cross join mistakes as m
    group by p.club_id, p.week, p.player_id, n.spin, m.outcome
)

select
    club_id,
    week,
    player_id,
    spin,
    outcome,
    cast(balls as bigint) as balls,
    cast(noted_balls as bigint) as noted_balls,
    balls / nullif(noted_balls, 0) as share
from recent
