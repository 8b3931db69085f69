-- What each player was fed in each session of the judged weeks, kind of ball by kind of ball, one row for each value of
-- each cut.
-- grain: club_id, player_id, session_id, cut, value, condition
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   condition: everything in which the fed ball may differ from another, in words
--   week: Monday of the ISO week
--   session_date: day of the session
--   balls: balls fed
--   good: balls that landed where the drill asked
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
        l.condition,
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
        l.good
    from core.block_feeds as l
    inner join judged as j on l.club_id = j.club_id and l.week > j.before
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
        condition,
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
        sum(good) as good
    from feeds
    group by
        grouping sets (
            (club_id, player_id, session_id, week, session_date, condition),
            (club_id, player_id, session_id, week, session_date, condition, setup_id),
            (club_id, player_id, session_id, week, session_date, condition, depth),
            (club_id, player_id, session_id, week, session_date, condition, side),
            (club_id, player_id, session_id, week, session_date, condition, spin_family),
            (club_id, player_id, session_id, week, session_date, condition, spin),
            (club_id, player_id, session_id, week, session_date, condition, sidespin),
            (club_id, player_id, session_id, week, session_date, condition, length),
            (club_id, player_id, session_id, week, session_date, condition, placement),
            (club_id, player_id, session_id, week, session_date, condition, height),
            (club_id, player_id, session_id, week, session_date, condition, tempo_band),
            (club_id, player_id, session_id, week, session_date, condition, stroke)
        )
)

select
    club_id,
    player_id,
    session_id,
    cut,
    value,
    condition,
    week,
    session_date,
    cast(balls as bigint) as balls,
    cast(good as bigint) as good
from sessions
where value is not null
