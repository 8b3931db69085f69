-- The sittings of each fixed test set: one row per player, probe and session.
-- grain: club_id, player_id, probe, session_id
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   probe: the name of the test set
--   session_id: day and label of the session
--   session_date: day of the session
--   sitting: place of the sitting among those of the same player and test set, from 1
--   days_since_first: days since the first sitting (days)
--   balls: balls fed
--   good: balls that landed where the drill asked
--   squared_block_balls: sum, over the drill blocks, of the square of their balls
--   conditions: different kinds of ball
--   first_conditions: of the kinds of the first sitting, those that were fed again
-- checks:
--   stop: good <= balls
--   stop: first_conditions <= conditions
with

kinds as (
    select
        club_id,
        player_id,
        probe,
        session_id,
        session_date,
        block,
        condition,
        sum(balls) as balls,
        sum(good) as good
    from core.fed_lines
    where probe is not null
    group by club_id, player_id, probe, session_id, session_date, block, condition
),

blocks as (
    select
        club_id,
        player_id,
        probe,
        session_id,
        session_date,
        block,
        sum(balls) as balls,
        sum(good) as good
    from kinds
    group by club_id, player_id, probe, session_id, session_date, block
),

sittings as (
    select
        club_id,
        player_id,
        probe,
        session_id,
        session_date,
        sum(balls) as balls,
        sum(good) as good,
        sum(balls * balls) as squared_block_balls,
        row_number() over (partition by club_id, player_id, probe order by session_date, session_id) as sitting,
        min(session_date) over (partition by club_id, player_id, probe) as first_date
    from blocks
    group by club_id, player_id, probe, session_id, session_date
),

first_kinds as (
    select distinct
        k.club_id,
        k.player_id,
        k.probe,
        k.condition
    from kinds as k
    inner join sittings as s
        on
            k.club_id = s.club_id
            and k.player_id = s.player_id
            and k.probe = s.probe
            and k.session_id = s.session_id
            and s.sitting = 1
),

met as (
    select
        k.club_id,
        k.player_id,
        k.probe,
        k.session_id,
        count(distinct k.condition) as conditions,
        count(distinct f.condition) as first_conditions
    from kinds as k
    left join first_kinds as f
        on k.club_id = f.club_id and k.player_id = f.player_id and k.probe = f.probe and k.condition = f.condition
    group by k.club_id, k.player_id, k.probe, k.session_id
)

select
    s.club_id,
    s.player_id,
    s.probe,
    s.session_id,
    s.session_date,
    s.sitting,
    date_diff('day', s.first_date, s.session_date) as days_since_first,
    cast(s.balls as bigint) as balls,
    cast(s.good as bigint) as good,
    cast(s.squared_block_balls as bigint) as squared_block_balls,
    m.conditions,
    m.first_conditions
from sittings as s
inner join met as m
    on s.club_id = m.club_id and s.player_id = m.player_id and s.probe = m.probe and s.session_id = m.session_id
