"""The mean of some people's figures, with the range in which that of all such people plausibly lies."""

from math import sqrt

from scipy import special

from models.estimates import Estimate


def range_of_mean(mean: float, deviation: float, count: int, confidence: float = 0.95) -> Estimate:
    """The mean with Student's range, from the sample's standard deviation; nan for both ends below two figures.

    Source: Student (1908), Biometrika 6:1; as in the NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2.
    """
    if count < 2:
        return Estimate(mean, float("nan"), float("nan"))
    half = float(special.stdtrit(count - 1, 0.5 + confidence / 2)) * deviation / sqrt(count)
    return Estimate(mean, mean - half, mean + half)
