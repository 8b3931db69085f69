-- The sessions as each player lived them: one row per session and player.
-- Minutes are those of the blocks: a block counts once, however many lines it has.
-- grain: club_id, session_id, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   session_date: day of the session
--   week: Monday of its ISO week
--   blocks: drill blocks
--   balls: balls fed
--   good: balls that landed where the drill asked
--   minutes: minutes of the blocks that note them (min; empty: none does)
--   effort: how hard the session was, 0 to 10 (empty: not noted)
with

blocks as (
    select
        club_id,
        session_id,
        player_id,
        session_date,
        week,
        block,
        sum(balls) as balls,
        sum(good) as good,
        max(minutes) as minutes,
        max(effort) as effort
    from core.fed_lines
    group by club_id, session_id, player_id, session_date, week, block
)

select
    club_id,
    session_id,
    player_id,
    session_date,
    week,
    count(*) as blocks,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    sum(cast(round(1e12 * minutes) as bigint)) / 1e12 as minutes,
    max(effort) as effort
from blocks
group by club_id, session_id, player_id, session_date, week
