-- Which balls each player has met, and which not: one row per player, week and wanted combination.
-- Balls are those of the window that ends with the week's Sunday.
-- grain: club_id, week, player_id, cell
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   cell: the combination in words
--   {dimension}: {meaning} (empty: any)
--   balls: balls fed in the window
--   good: of these, balls that landed where the drill asked
--   last_met_on: last day on which the player met it (empty: never yet)
--   wanted_share: how much of the player's balls should be so (share of 1)
--   need_balls: balls still missing in the window for the combination to be covered
--   status: empty (never met), stale (met, but not in the window), touched (too few), covered
-- checks:
--   stop: good <= balls
--   stop: need_balls >= 0
--   stop: (status = 'empty') = (last_met_on is null)
--   stop: (status in ('empty', 'stale')) = (balls = 0)
with

met as (
    select
        p.club_id,
        p.week,
        p.player_id,
        c.cell,
        sum(case when c.week >= p.window_start then c.balls else 0 end) as balls,
        sum(case when c.week >= p.window_start then c.good else 0 end) as good,
        max(c.last_met_on) as last_met_on
    from core.player_weeks as p
    inner join core.cell_weeks as c on p.club_id = c.club_id and p.player_id = c.player_id and c.week <= p.week
    group by p.club_id, p.week, p.player_id, c.cell
),

wanted as (
    select
        p.club_id,
        p.week,
        p.player_id,
        c.cell,
        c.{dimension},
        c.wanted_share,
        cast(coalesce(m.balls, 0) as bigint) as balls,
        cast(coalesce(m.good, 0) as bigint) as good,
        m.last_met_on,
        g.covered_balls
    from core.player_weeks as p
    inner join core.target_cells as c on p.club_id = c.club_id and p.player_id = c.player_id
    inner join core.settings as g on p.club_id = g.club_id
    left join met as m
        on p.club_id = m.club_id and p.week = m.week and p.player_id = m.player_id and c.cell = m.cell
)

select
    club_id,
    week,
    player_id,
    cell,
    {dimension},
    balls,
    good,
    last_met_on,
    wanted_share,
    cast(greatest(covered_balls - balls, 0) as bigint) as need_balls,
    case
        when balls >= covered_balls then 'covered'
        when balls > 0 then 'touched'
        when last_met_on is not null then 'stale'
        else 'empty'
    end as status
from wanted
