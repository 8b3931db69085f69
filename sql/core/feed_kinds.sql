-- Every kind of feed in the log: one row per setup as it stood, hand that met it, and words of the ball.
-- grain: club_id, feed_kind
-- columns:
--   club_id: short name of the club
--   feed_kind: the kind of feed in words, its setup last; any: the line does not say
--   setup_id: the club's code for the setup
--   valid_from: first day on which the feeder stood so
--   handedness: the hand of the player (right, left)
--   x_cm: where the feeder stood, towards the player, 0 at the end line opposite (cm)
--   y_cm: where the feeder stood, sideways, positive to the player's right (cm)
--   release_height_cm: where the ball left, above the table surface (cm; empty: not noted)
--   spin: the spin of the fed ball
--   sidespin: the way the ball curved for the player (empty: not noted)
--   length: short, half_long, long
--   placement: where the ball came, as the player sees it (empty: not noted)
--   height: low, medium, high (empty: not noted)
--   balls: balls fed, by all players together
select
    f.club_id,
    f.feed_kind,
    f.setup_id,
    f.valid_from,
    f.handedness,
    u.x_cm,
    u.y_cm,
    u.release_height_cm,
    f.spin,
    f.sidespin,
    f.length,
    f.placement,
    f.height,
    cast(sum(f.balls) as bigint) as balls
from core.feed_weeks as f
inner join core.setups as u
    on
        f.club_id = u.club_id
        and f.setup_id = u.setup_id
        and f.valid_from = u.valid_from
        and f.handedness = u.handedness
group by
    f.club_id,
    f.feed_kind,
    f.setup_id,
    f.valid_from,
    f.handedness,
    u.x_cm,
    u.y_cm,
    u.release_height_cm,
    f.spin,
    f.sidespin,
    f.length,
    f.placement,
    f.height
