"""Contrast of two colours as WCAG 2.2 defines it (relative luminance and contrast ratio, W3C Recommendation 2023)."""


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours such as `#0072B2`, 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """The relative luminance of a colour, 0 (black) to 1 (white)."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return 0.2126 * _linear(red) + 0.7152 * _linear(green) + 0.0722 * _linear(blue)


def _linear(channel: float) -> float:
    return float(channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4)
