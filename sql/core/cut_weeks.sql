-- What each player was fed in each week, one row for each value of each cut.
-- grain: club_id, player_id, week, cut, value
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed
--   good: balls that landed where the drill asked
--   squared_block_balls: sum, over the drill blocks, of the square of the balls that count here
--   squared_session_balls: the same over the sessions
with

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
        l.good
    from core.block_feeds as l
    inner join core.conditions as k on l.club_id = k.club_id and l.condition = k.condition
),

-- All cuts in one pass: a row of the cut by spin is a group of which no other word is told.
blocks as (
    select
        club_id,
        player_id,
        session_id,
        block,
        week,
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
            (club_id, player_id, session_id, block, week),
            (club_id, player_id, session_id, block, week, setup_id),
            (club_id, player_id, session_id, block, week, depth),
            (club_id, player_id, session_id, block, week, side),
            (club_id, player_id, session_id, block, week, spin_family),
            (club_id, player_id, session_id, block, week, spin),
            (club_id, player_id, session_id, block, week, sidespin),
            (club_id, player_id, session_id, block, week, length),
            (club_id, player_id, session_id, block, week, placement),
            (club_id, player_id, session_id, block, week, height),
            (club_id, player_id, session_id, block, week, tempo_band),
            (club_id, player_id, session_id, block, week, stroke)
        )
),

sessions as (
    select
        club_id,
        player_id,
        session_id,
        week,
        cut,
        value,
        sum(balls) as balls,
        sum(good) as good,
        sum(balls * balls) as squared_block_balls
    from blocks
    where value is not null
    group by club_id, player_id, session_id, week, cut, value
)

select
    club_id,
    player_id,
    week,
    cut,
    value,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    cast(sum(squared_block_balls) as bigint) as squared_block_balls,
    cast(sum(balls * balls) as bigint) as squared_session_balls
from sessions
group by club_id, player_id, week, cut, value
