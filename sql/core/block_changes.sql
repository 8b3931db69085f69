-- Success right after the ball changed, and on the same ball again: one row per player, block and wanted combination.
-- Only balls logged one by one know what came before them; the first ball of a block is left out.
-- grain: club_id, player_id, session_id, block, cell
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
--   cell: the combination in words
--   week: Monday of the ISO week
--   wanted_share: how much of the player's balls should be so (share of 1)
--   first_balls: balls that differ from the one before
--   first_good: of these, balls that landed where the drill asked
--   repeat_balls: balls like the one before
--   repeat_good: of these, balls that landed where the drill asked
-- checks:
--   stop: first_good <= first_balls and repeat_good <= repeat_balls
select
    s.club_id,
    s.player_id,
    s.session_id,
    s.block,
    c.cell,
    s.week,
    c.wanted_share,
    cast(sum(case when s.condition <> s.condition_before then s.balls else 0 end) as bigint) as first_balls,
    cast(sum(case when s.condition <> s.condition_before then s.good else 0 end) as bigint) as first_good,
    cast(sum(case when s.condition = s.condition_before then s.balls else 0 end) as bigint) as repeat_balls,
    cast(sum(case when s.condition = s.condition_before then s.good else 0 end) as bigint) as repeat_good
from core.block_steps as s
inner join core.player_targets as t on s.club_id = t.club_id and s.player_id = t.player_id
inner join core.condition_cells as c
    on
        t.club_id = c.club_id
        and t.target = c.target
        and t.applies_to = c.applies_to
        and s.condition = c.condition
where s.condition_before <> '-'
group by s.club_id, s.player_id, s.session_id, s.block, c.cell, s.week, c.wanted_share
