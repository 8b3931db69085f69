"""What is said of a ball whose feeder moved: what to turn, what to change, and what the player meets."""

from collections.abc import Sequence

from dashboard.words.phrases import label, listed
from dashboard.words.setup import the_target, turn
from models.bearings import LEAST_SHIFT_CM, to_side
from models.estimates import Span
from models.moved_ball import Ball, Moved, Way
from models.settings import HURRIED_S
from models.stance import Place, head_turn_deg, sideways_cm
from models.tally import tally

LEAST_PERCENT = 0.5
LEAST_TILT_DEG = 0.05
NOTABLE_PERCENT = 3.0
LEAST_GAP_CM = 1.0
"""A ball that passes the net by less is not advised: a little scatter puts it into the net."""

CURVE_WITHIN_DEG = 2
"""How far the turn for a ball with sidespin lies from that for a straight one, over moves within a hall (tested)."""

WAYS = {
    "head_only": "Turn the head only",
    "keep_landing": "Keep the landing",
    "keep_clearance": "Keep the height over the net",
    "keep_both": "Keep both",
}


def advised(moved: Moved) -> tuple[str, Way] | None:
    """The simplest way that keeps the landing: the speed alone, or speed and tilt where the net would be too near."""
    sets = moved.before.sets
    for name in ("keep_landing", "keep_both"):
        way: Way = getattr(moved, name)
        if way.sets == sets and way.clearance_cm is not None and way.clearance_cm.low >= LEAST_GAP_CM:
            return name, way
    return None


def turn_the_head(before: Place, after: Place, target: Place, sidespin: str = "none") -> str:
    """Which way to turn the head for the same target, and how far, in degrees and in centimetres at deep centre."""
    sentence = _turn_for_a_straight_ball(before, after, target)
    if sidespin == "none":
        return sentence
    around = f"A ball that curves needs up to about {CURVE_WITHIN_DEG}° more or less: try it with a single ball."
    return f"{sentence} {around}"


def _turn_for_a_straight_ball(before: Place, after: Place, target: Place) -> str:
    turn_deg = head_turn_deg(before, after, target)
    turned, at_centre = turn(turn_deg), to_side(sideways_cm(turn_deg, after))
    if turned is None or at_centre is None:
        return "**Leave the head as it is turned**: the target lies in the same direction."
    return f"**Turn the head {turned}.** At the distance of deep centre that is {at_centre.size:.0f} cm."


def change_the_speed(moved: Moved) -> str:
    """What to change of speed and tilt, so that the ball lands where it did."""
    found = advised(moved)
    if found is None:
        return (
            "**No change of speed and tilt brings this ball to its place from there.** Choose another height over the "
            "net, another length, or another place of the feeder."
        )
    name, way = found
    tilt = "with its tilt as it is" if name == "keep_landing" else f"with the head {tilted(way)}"
    return f"**Feed it {faster(way.speed_percent)}, {tilt}**: then it lands where it did {net_gap(moved, way)}."


def change_the_dial(moved: Moved, dial: Sequence[str]) -> str:
    """The same in marks of the feeder's own dial, as `dial_sentences` tell it; the speed itself comes last."""
    found = advised(moved)
    if found is None:
        return change_the_speed(moved)
    name, way = found
    tilt = "With its tilt as it is" if name == "keep_landing" else f"With the head {tilted(way)}"
    lands = f"the ball then lands where it did {net_gap(moved, way)}"
    return f"{' '.join(dial)} {tilt} {lands}; it is {faster(way.speed_percent)}."


def only_turned(moved: Moved) -> str:
    """What becomes of the ball if nothing but the head is changed."""
    way = moved.head_only
    if way.clips == way.sets and way.sets:
        return "**If you only turn the head, this ball goes into the net.**"
    if way.clips:
        by = f"by {way.clips} of {way.sets} calculations"
        return f"**If you only turn the head, this ball may go into the net** ({by})."
    if way.too_far_cm is None or way.clearance_cm is None:
        return "What becomes of it if only the head is turned cannot be told."
    net_cm = number(way.clearance_cm, "cm")
    return f"If you only turn the head, it passes the net by {net_cm} and lands {off(way.too_far_cm)}."


def lower_and_earlier(moved: Moved) -> str | None:
    """How the arc and the bounce change, and how much less or more time there is; None where hardly anything does."""
    changes = (moved.apex_percent, moved.bounce_percent, moved.landing_time_percent)
    arc, rise, time = (change or Span(0.0, 0.0) for change in changes)
    is_slight = [change.is_within(NOTABLE_PERCENT) for change in (arc, rise, time)]
    if all(is_slight):
        return None
    figures = (
        f"its arc {more_or_less(arc, 'higher', 'lower')}, its bounce {more_or_less(rise, 'higher', 'lower')}, and it "
        f"lands {more_or_less(time, 'later', 'earlier')} after its release"
    )
    if moved.is_lower and moved.is_earlier and not any(is_slight):
        return f"**From there the ball comes lower and earlier**: {figures}."
    return f"For the same target and the same height over the net from there: {figures}."


def kind_of_ball(moved: Moved, ball: Ball) -> list[str]:
    """What the physics calls the length, before and after, and a doubtful word marked."""
    found = advised(moved)
    sentences = [f"By the physics the ball was **{lengths(moved.before)}** before the move."]
    if found is not None:
        sentences.append(f"Changed as told above it is **{lengths(found[1])}** now.")
        if stay := keep_the_length(moved, ball, found[1]):
            sentences.append(stay)
    if moved.verdict == "doubtful":
        sentences.append(
            f"**Doubtful**: by no calculation is there a {label(ball.spin)} ball that is {label(ball.length)} and "
            f"{label(ball.height)} over the net from where the feeder stood. The word stays as you say it."
        )
    elif moved.verdict == "possible":
        sentences.append(f"Such a ball is {label(ball.length)} by some calculations and not by others.")
    if moved.impossible:
        sentences.append(f"By calculation {listed(moved.impossible)} there is no such ball at all.")
    return sentences


def time_to_react(way: Way) -> str:
    """How long the player has from release to contact, and whether that is too short for the feet."""
    contact_s = way.times.contact_s
    if contact_s is None:
        return "The ball does not reach the player."
    sentence = f"From release to contact the player has {number(contact_s, 's', 2)}."
    if not way.times.is_hurried:
        return sentence
    return f"{sentence} The feet need about {HURRIED_S:g} s to react: this is a drill in anticipation."


def keep_the_length(moved: Moved, ball: Ball, changed: Way) -> str | None:
    """What else to change so that the ball stays as long as it is said to be; None where it does, or no ball does."""
    if ball.length not in moved.before.lengths or set(changed.lengths) == {ball.length}:
        return None
    way = moved.same_words
    if not way.lengths or set(way.lengths) != {ball.length}:
        return (
            f"From there hardly any such ball stays {label(ball.length)}: stand less far out, or choose another ball."
        )
    turned = turn(way.turn_deg.middle) if way.turn_deg else None
    also = f" and turned {turned}" if turned else ""
    change = f"feed it {faster(way.speed_percent)}, with the head {tilted(way)}"
    return f"**To keep it {label(ball.length)}, {change}{also}**: it then lands {the_target(moved.same_words_target)}."


def no_such_ball(ball: Ball) -> str:
    """That no calculation has the ball, and what can be done; the words stay."""
    return (
        f"**Doubtful**: no calculation has a {label(ball.spin)} ball, {label(ball.height)} over the net, that lands "
        "there from where the feeder stood, so nothing can be said of its speed. Choose another height over the net, "
        "another spin or another target. Your words stay as you say them."
    )


def lengths(way: Way) -> str:
    """The length by the sets: `short`, or `short by 3 of 4 calculations, half-long by 1`."""
    off_side = "long (it runs off the side line)" if way.off_side else "long"
    sentence = {"long": off_side, "": "off the table"}
    named = [(sentence.get(word) or label(word), count) for word, count in tally(way.lengths).items()]
    if len(named) == 1:
        return named[0][0]
    (first, count), *others = named
    rest = ", ".join(f"{word} by {times}" for word, times in others)
    return f"{first} by {count} of {len(way.lengths)} calculations, {rest}"


def faster(change: Span | None) -> str:
    """A change of speed: `9 % faster (8.6 to 9.6 %)`."""
    if change is None:
        return "–"
    if change.is_within(LEAST_PERCENT):
        return "as fast as before"
    return more_or_less(change, "faster", "slower")


def more_or_less(change: Span, more: str, less: str) -> str:
    """A change in per cent with its span: `9 % more (8.6 to 9.6)`; the span only where it shows."""
    sentence = f"{abs(change.middle):.0f} % {more if change.middle > 0 else less}"
    if change.leaves_open:
        return f"{sentence} (from {change.low:+.1f} to {change.high:+.1f} %)"
    low, high = f"{change.size.low:.1f}", f"{change.size.high:.1f}"
    return f"{sentence} ({low} to {high} %)" if low != high else sentence


def tilted(way: Way) -> str:
    """How far to tilt the head: `3.0° lower`."""
    change = way.elevation_deg
    if change is None:
        return "–"
    if change.is_within(LEAST_TILT_DEG):
        return "as it is"
    return f"{number(change.size, '°', 1)} {'higher' if change.middle > 0 else 'lower'}"


def net_gap(moved: Moved, way: Way) -> str:
    """How the ball passes the net, against before."""
    if way.clearance_cm is None or moved.before.clearance_cm is None:
        return "–"
    return f"and passes the net by {number(way.clearance_cm, 'cm')} (before: {number(moved.before.clearance_cm, 'cm')})"


def off(too_far_cm: Span) -> str:
    """How far from its place a ball lands: `25 cm too short`."""
    if too_far_cm.is_within(LEAST_SHIFT_CM):
        return "where it did"
    return f"{number(too_far_cm.size, 'cm')} too {'long' if too_far_cm.middle > 0 else 'short'}"


def number(span: Span | None, unit: str, decimals: int = 0) -> str:
    """A number with its unit, as a span only where it shows: `8 cm`, `0.46 to 0.48 s`, `3.0°`."""
    if span is None:
        return "–"
    low, high = f"{span.low:.{decimals}f}", f"{span.high:.{decimals}f}"
    low = low.replace("-0", "0") if float(low) == 0 else low
    space = "" if unit == "°" else " "
    return f"{high}{space}{unit}" if low == high else f"{low} to {high}{space}{unit}"
