-- Which number the next noted landing takes: one row per feeder and day with landings.
-- grain: club_id, feeder_id, noted_on
-- columns:
--   club_id: short name of the club
--   feeder_id: the club's code for the feeder
--   noted_on: day on which the landings were noted
--   next_ball: the number after that of the feeder's last ball of the day
-- checks:
--   stop: next_ball > 1
select
    club_id,
    feeder_id,
    noted_on,
    max(ball) + 1 as next_ball
from core.landings
group by club_id, feeder_id, noted_on
