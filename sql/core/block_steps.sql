-- The balls whose place is known, by what came before them in their block: one row per block and pair of kinds of ball.
-- grain: club_id, session_id, player_id, block, condition, condition_before
-- carried: by week
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   block: drill block within the session, from 1
--   condition: everything in which the fed ball may differ from another, in words
--   condition_before: the same of the ball before it (-: the first of its block)
--   week: Monday of the ISO week
--   balls: balls logged one by one
--   good: balls that landed where the drill asked
with

steps as (
    select
        club_id,
        session_id,
        player_id,
        block,
        condition,
        coalesce(
            lag(condition) over (partition by club_id, session_id, player_id, block, week order by ball_or_0, feed), '-'
        ) as condition_before,
        week,
        good
    from core.fed_lines
    where ball_or_0 > 0
)

select
    club_id,
    session_id,
    player_id,
    block,
    condition,
    condition_before,
    week,
    count(*) as balls,
    cast(sum(good) as bigint) as good
from steps
group by club_id, session_id, player_id, block, condition, condition_before, week
