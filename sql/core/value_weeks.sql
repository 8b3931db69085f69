-- What each player met of each week's words, in whatever combination, wanted or not: one row per player, week and word.
-- grain: club_id, player_id, week, dimension, value
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   dimension: in what the balls differ
--   value: the word of that dimension
--   balls: balls fed
--   last_met_on: last day in the week on which such a ball was met
with

days as (
    select
        club_id,
        player_id,
        week,
        {dimension},
        sum(balls) as balls,
        max(session_date) as last_met_on
    from core.fed_lines
    group by
        club_id,
        player_id,
        {dimension},
        week
)

select
    d.club_id,
    d.player_id,
    d.week,
    w.list as dimension,
    w.word as value,
    cast(sum(d.balls) as bigint) as balls,
    max(d.last_met_on) as last_met_on
from days as d
inner join core.words as w
    on
        w.word = case w.list
            when '{dimension}' then d.{dimension}
        end
group by d.club_id, d.player_id, d.week, w.list, w.word
