-- When each player had a log last, as of each week: one row per week and player with a log up to its Sunday.
-- grain: club_id, week, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   last_logged_on: last day with a log, up to the week's Sunday
select
    p.club_id,
    p.week,
    p.player_id,
    max(s.session_date) as last_logged_on
from core.player_weeks as p
inner join core.sessions as s
    on p.club_id = s.club_id and p.player_id = s.player_id and s.session_date <= p.week_end
group by p.club_id, p.week, p.player_id
