"""A club's colour made readable: its hue stays, its lightness moves.

Contrast is WCAG 2.2's; lightness and hue are those of OKLab (Björn Ottosson, "A perceptual color space for image
processing", 2020, https://bottosson.github.io/posts/oklab/).
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Lab = npt.NDArray[np.float64]

ENOUGH = 4.5
"""WCAG 2.2, 1.4.3: the contrast of text."""

_STEP = 0.01

_TO_CONES = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_TO_LAB = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


@lru_cache(maxsize=32)
def readable(colour: str, grounds: Sequence[str]) -> str:
    """The colour, lighter or darker until it has a contrast of 4.5 on every ground, which are all light or all dark."""
    lightness, green_red, blue_yellow = _lab(colour)
    step = -_STEP if luminance(grounds[0]) > 0.5 else _STEP
    while 0 < lightness < 1:
        moved = _nearest_shown(lightness, green_red, blue_yellow)
        if all(contrast(moved, ground) >= ENOUGH for ground in grounds):
            return moved
        lightness += step
    return "#000000" if step < 0 else "#FFFFFF"


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours such as `#0072B2`, 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """The relative luminance of a colour, 0 (black) to 1 (white)."""
    return float(_linear(colour) @ (0.2126, 0.7152, 0.0722))


def _linear(colour: str) -> Lab:
    channels = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def _lab(colour: str) -> Lab:
    lab: Lab = _TO_LAB @ np.cbrt(_TO_CONES @ _linear(colour))
    return lab


def _nearest_shown(lightness: float, green_red: float, blue_yellow: float) -> str:
    """The colour of this lightness and hue, as colourful as a screen can show it."""
    for strength in np.linspace(1, 0, 21):
        cones = np.linalg.solve(_TO_LAB, [lightness, strength * green_red, strength * blue_yellow]) ** 3
        linear = np.linalg.solve(_TO_CONES, cones)
        if (linear > -1e-4).all() and (linear < 1.0001).all():
            break
    return _hex(np.clip(linear, 0, 1))


def _hex(linear: Lab) -> str:
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255 * channel):02X}" for channel in np.clip(encoded, 0, 1))
