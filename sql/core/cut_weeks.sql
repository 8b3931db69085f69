-- What each player was fed in each week, one row for each value of each cut.
-- grain: club_id, player_id, week, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed
--   good: balls that landed where the drill asked
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
        l.week,
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
        l.balls,
        l.good
    from core.fed_lines as l
    cross join cuts as c
)

select
    club_id,
    player_id,
    week,
    cut,
    value,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good
from cut_lines
where value is not null
group by club_id, player_id, week, cut, value
