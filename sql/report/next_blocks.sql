-- Which number the next block of a session takes: one row per player and session.
-- grain: club_id, session_id, player_id
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   next_block: the number after that of the player's last block in the session
-- checks:
--   stop: next_block > 1
select
    club_id,
    session_id,
    player_id,
    max(block) + 1 as next_block
from core.fed_lines
group by club_id, session_id, player_id
