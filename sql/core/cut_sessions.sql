-- What each player was fed in each session of the judged weeks, one row for each value of each cut.
-- grain: club_id, player_id, session_id, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   week: Monday of the ISO week
--   session_date: day of the session
--   balls: balls fed
--   good: balls that landed where the drill asked
--   expected_good: what the player's club mates would make of the same balls (balls)
-- checks:
--   stop: good <= balls
with

judged as (
    select
        w.club_id,
        max(w.week) - 7 * max(g.judged_weeks) as before
    from core.weeks as w
    inner join core.settings as g on w.club_id = g.club_id
    group by w.club_id
),

feeds as (
    select
        l.club_id,
        l.player_id,
        l.session_id,
        l.block,
        l.week,
        l.session_date,
        k.setup_id,
        k.depth,
        k.side,
        k.spin_family,
        k.spin,
        k.sidespin,
        k.length,
        k.placement,
        k.height,
        k.tempo_band,
        nullif(l.stroke_or_dash, '-') as stroke,
        l.balls,
        l.good,
        -- In whole parts of 1e-11, because a sum of doubles depends on the order of the rows.
        cast(round(1e11 * (l.balls * r.expected_rate)) as bigint) as expected_parts
    from core.block_feeds as l
    inner join judged as j on l.club_id = j.club_id and l.week > j.before
    inner join core.condition_rates as r
        on l.club_id = r.club_id and l.player_id = r.player_id and l.condition = r.condition
    inner join core.conditions as k on l.club_id = k.club_id and l.condition = k.condition
),

-- All cuts in one pass: a row of the cut by spin is a group of which no other word is told.
sessions as (
    select
        club_id,
        player_id,
        session_id,
        week,
        session_date,
        case
            when grouping(setup_id) = 0 then 'setup'
            when grouping(depth) = 0 then 'depth'
            when grouping(side) = 0 then 'side'
            when grouping(spin_family) = 0 then 'spin_family'
            when grouping(spin) = 0 then 'spin'
            when grouping(sidespin) = 0 then 'sidespin'
            when grouping(length) = 0 then 'length'
            when grouping(placement) = 0 then 'placement'
            when grouping(height) = 0 then 'height'
            when grouping(tempo_band) = 0 then 'tempo_band'
            when grouping(stroke) = 0 then 'stroke'
            else 'all'
        end as cut,
        case
            when grouping(setup_id) = 0 then setup_id
            when grouping(depth) = 0 then depth
            when grouping(side) = 0 then side
            when grouping(spin_family) = 0 then spin_family
            when grouping(spin) = 0 then spin
            when grouping(sidespin) = 0 then sidespin
            when grouping(length) = 0 then length
            when grouping(placement) = 0 then placement
            when grouping(height) = 0 then height
            when grouping(tempo_band) = 0 then tempo_band
            when grouping(stroke) = 0 then stroke
            else 'all'
        end as value,
        sum(balls) as balls,
        sum(good) as good,
        sum(expected_parts) as expected_parts
    from feeds
    group by
        grouping sets (
            (club_id, player_id, session_id, week, session_date),
            (club_id, player_id, session_id, week, session_date, setup_id),
            (club_id, player_id, session_id, week, session_date, depth),
            (club_id, player_id, session_id, week, session_date, side),
            (club_id, player_id, session_id, week, session_date, spin_family),
            (club_id, player_id, session_id, week, session_date, spin),
            (club_id, player_id, session_id, week, session_date, sidespin),
            (club_id, player_id, session_id, week, session_date, length),
            (club_id, player_id, session_id, week, session_date, placement),
            (club_id, player_id, session_id, week, session_date, height),
            (club_id, player_id, session_id, week, session_date, tempo_band),
            (club_id, player_id, session_id, week, session_date, stroke)
        )
)

select
    club_id,
    player_id,
    session_id,
    cut,
    value,
    week,
    session_date,
    cast(balls as bigint) as balls,
    cast(good as bigint) as good,
    expected_parts / 1e11 as expected_good
from sessions
where value is not null
