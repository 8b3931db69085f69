-- What each player was fed in each drill block, one row for each value of each cut.
-- grain: club_id, player_id, session_id, block, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
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

cuts(cut) as (
    values
    ('all'), ('setup'), ('depth'), ('side'), ('spin_family'), ('spin'), ('sidespin'), ('length'), ('placement'),
    ('height'), ('tempo_band'), ('stroke')
),

cut_lines as (
    select
        l.club_id,
        l.player_id,
        l.session_id,
        l.block,
        c.cut,
        case c.cut
            when 'all' then 'all'
            when 'setup' then l.setup_id
            when 'depth' then l.depth
            when 'side' then l.side
            when 'spin_family' then l.spin_family
            when 'spin' then l.spin
            when 'sidespin' then l.sidespin
            when 'length' then l.length
            when 'placement' then l.placement
            when 'height' then l.height
            when 'tempo_band' then l.tempo_band
            when 'stroke' then l.stroke
        end as value,
        l.week,
        l.session_date,
        l.balls,
        l.good,
        l.balls * r.expected_rate as expected_good
    from core.fed_lines as l
    inner join core.condition_rates as r
        on l.club_id = r.club_id and l.player_id = r.player_id and l.condition = r.condition
    cross join cuts as c
)

select
    club_id,
    player_id,
    session_id,
    block,
    cut,
    value,
    week,
    session_date,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    sum(expected_good) as expected_good
from cut_lines
where value is not null
group by club_id, player_id, session_id, block, cut, value, week, session_date
