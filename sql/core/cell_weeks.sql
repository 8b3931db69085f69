-- What each player met of each week's wanted combinations: one row per player, week and combination met.
-- grain: club_id, player_id, week, cell
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cell: the combination in words
--   balls: balls fed
--   good: balls that landed where the drill asked
--   last_met_on: last day in the week on which it was met
select
    l.club_id,
    l.player_id,
    l.week,
    c.cell,
    cast(sum(l.balls) as bigint) as balls,
    cast(sum(l.good) as bigint) as good,
    max(l.session_date) as last_met_on
from core.fed_lines as l
inner join core.target_cells as c
    on
        l.club_id = c.club_id
        and l.player_id = c.player_id
        and (c.depth is null or l.depth = c.depth)
        and (c.side is null or l.side = c.side)
        and (c.spin_family is null or l.spin_family = c.spin_family)
        and (c.spin is null or l.spin = c.spin)
        and (c.sidespin is null or l.sidespin = c.sidespin)
        and (c.length is null or l.length = c.length)
        and (c.placement is null or l.placement = c.placement)
        and (c.height is null or l.height = c.height)
        and (c.tempo_band is null or l.tempo_band = c.tempo_band)
group by l.club_id, l.player_id, l.week, c.cell
