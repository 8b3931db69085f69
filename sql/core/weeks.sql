-- The weeks of the club from its first logged session to its last, each with the window that ends with its Sunday.
-- grain: club_id, week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   week_end: Sunday of the week
--   window_start: first day of the window
with

digits(digit) as (values (0), (1), (2), (3), (4), (5), (6), (7), (8), (9)),

counts as (
    select thousands.digit * 1000 + hundreds.digit * 100 + tens.digit * 10 + ones.digit as weeks
    from digits as thousands
    cross join digits as hundreds
    cross join digits as tens
    cross join digits as ones
),

spans as (
    select
        club_id,
        min(week) as first_week,
        max(week) as last_week
    from core.fed_lines
    group by club_id
)

select
    s.club_id,
    cast(s.first_week + c.weeks * 7 as date) as week,
    cast(s.first_week + c.weeks * 7 + 6 as date) as week_end,
    cast(s.first_week + c.weeks * 7 + 7 - g.window_days as date) as window_start
from spans as s
inner join counts as c on c.weeks <= date_diff('day', s.first_week, s.last_week) / 7
inner join core.settings as g on s.club_id = g.club_id
