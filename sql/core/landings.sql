-- Where single balls of a feeder landed, how its dials stood, and where the feeder: one row per noted ball.
-- grain: club_id, feeder_id, noted_on, ball
-- columns:
--   club_id: short name of the club
--   feeder_id: the club's code for the feeder
--   noted_on: day of the ball
--   ball: its number among those of that feeder and day
--   setup_id: the club's code for the setup
--   x_cm: where the feeder stood that day, towards the player, 0 at the end line opposite (cm)
--   y_cm: where the feeder stood that day, sideways, positive to the player's right (cm)
--   release_height_cm: where the ball left, above the table surface (cm)
--   elevation_deg: tilt of the head, positive upwards (deg)
--   speed_setting: how the speed dial stood (mark)
--   spin_setting: how the spin dial stood (mark; empty: no spin, or one that is known otherwise)
--   topspin_rps: the spin where it is known otherwise, negative for backspin (turns a second; empty: not known)
--   speed_mps: the speed where it was measured (m/s; empty: not measured)
--   landing_x_cm: where the ball landed, towards the player (cm)
--   landing_y_cm: where the ball landed, sideways (cm)
-- checks:
--   stop: x_cm is not null
select
    l.club_id,
    l.feeder as feeder_id,
    l.noted_on,
    l.ball,
    l.setup as setup_id,
    u.x_cm,
    u.y_cm,
    l.release_height_cm,
    l.elevation_deg,
    l.speed_setting,
    l.spin_setting,
    l.topspin_rps,
    l.speed_mps,
    l.landing_x_cm,
    l.landing_y_cm
from log.landings_in_force as l
left join core.setups as u
    on
        l.club_id = u.club_id
        and l.setup = u.setup_id
        and u.handedness = 'right'
        and l.noted_on >= u.valid_from
        and (u.valid_to is null or l.noted_on < u.valid_to)
