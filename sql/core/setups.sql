-- Where each feeder stands, as a player of each hand meets it: one row per setup, first valid day and hand.
-- grain: club_id, setup_id, valid_from, handedness
-- columns:
--   club_id: short name of the club
--   setup_id: the club's code for the setup
--   valid_from: first day on which the feeder stands so
--   valid_to: first day on which it no longer does (empty: still does)
--   handedness: the hand of the player who meets it (right, left)
--   name: what the club calls it
--   feeding: who or what feeds (robot, multiball, partner; empty: not noted)
--   feeder_id: the club's code for the feeder (empty: any, or none)
--   x_cm: towards the player, 0 at the end line opposite, 137 at the net (cm)
--   y_cm: sideways, positive to the player's right (cm)
--   release_height_cm: where the ball leaves, above the table surface (cm; empty: not noted)
--   yaw_deg: how the head is turned, positive to the player's right (deg; empty: not noted)
--   net_folded: the feeder's own catch net is folded away (empty: not noted)
--   depth: back, middle or near, by the limits in the settings
--   side: forehand, centre or backhand of that player, by the limit in the settings
--   distance_cm: seen from above, to the deep centre: on the centre line, 29 cm inside the player's end line (cm)
--   yaw_to_centre_deg: where the head points at the deep centre, positive to the player's right (deg)
--   head_turn_deg: how far the head must turn from its yaw for that (deg; empty: its yaw is not noted)
--   note: anything worth remembering (empty: nothing)
-- checks:
--   stop: (yaw_deg is null) = (head_turn_deg is null)
with

hands as (
    select word as handedness
    from core.words
    where list = 'handedness'
),

-- The deep centre lies at x = 245 cm, in front of every feeder: no setup has an x beyond the net.
places as (
    select
        l.*,
        sqrt((245e0 - l.x_cm) * (245e0 - l.x_cm) + l.y_cm * l.y_cm) as distance_cm,
        degrees(atan((0e0 - l.y_cm) / nullif(245e0 - l.x_cm, 0))) as yaw_to_centre_deg
    from log.setups_in_force as l
)

select
    s.club_id,
    s.setup as setup_id,
    s.valid_from,
    lead(s.valid_from) over (partition by s.club_id, s.setup, h.handedness order by s.valid_from) as valid_to,
    h.handedness,
    coalesce(s.name, s.setup) as name,
    s.feeding,
    s.feeder as feeder_id,
    s.x_cm,
    s.y_cm,
    s.release_height_cm,
    s.yaw_deg,
    s.net_folded,
    case
        when s.x_cm < g.back_below_cm then 'back'
        when s.x_cm < g.near_from_cm then 'middle'
        else 'near'
    end as depth,
    case
        when abs(s.y_cm) <= g.centre_within_cm then 'centre'
        when (s.y_cm > 0) = (h.handedness = 'right') then 'forehand'
        else 'backhand'
    end as side,
    s.distance_cm,
    s.yaw_to_centre_deg,
    s.yaw_to_centre_deg - s.yaw_deg as head_turn_deg,
    s.note
from places as s
cross join hands as h
inner join core.settings as g on s.club_id = g.club_id
