-- A player's success now beside the earliest whole window of the log that does not overlap it.
-- Both are rows of report.success over all balls; a row stands only where both have enough balls for a rate. The mix
-- of balls may have changed in between, so this is what was seen, not yet a trend.
-- grain: club_id, week, player_id
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week with which the window now ends
--   player_id: the club's code for the player
--   balls: balls fed in the window now
--   good: of these, balls that landed where the drill asked
--   rate: good of balls (share of 1)
--   low: lower end of its range (share of 1)
--   high: upper end of its range (share of 1)
--   then_week_end: last day of the window then
--   then_balls: balls fed in the window then
--   then_good: of these, balls that landed where the drill asked
--   then_rate: then_good of then_balls (share of 1)
--   then_low: lower end of its range (share of 1)
--   then_high: upper end of its range (share of 1)
-- checks:
--   stop: then_week_end < week
with

overall as (
    select
        s.club_id,
        s.week,
        s.player_id,
        w.week_end,
        w.window_start,
        s.balls,
        s.good,
        s.rate,
        s.low,
        s.high,
        min(w.week) over (partition by s.club_id, s.player_id) as first_week
    from report.success as s
    inner join core.weeks as w on s.club_id = w.club_id and s.week = w.week
    where s.cut = 'all'
)

select
    n.club_id,
    n.week,
    n.player_id,
    n.balls,
    n.good,
    n.rate,
    n.low,
    n.high,
    t.week_end as then_week_end,
    t.balls as then_balls,
    t.good as then_good,
    t.rate as then_rate,
    t.low as then_low,
    t.high as then_high
from overall as n
inner join overall as t
    on
        n.club_id = t.club_id
        and n.player_id = t.player_id
        and t.window_start >= t.first_week
        and t.week_end < n.window_start
        and t.rate is not null
where n.rate is not null
qualify row_number() over (partition by n.club_id, n.week, n.player_id order by t.week) = 1
