"""What screws hold when they are pulled and sheared at once."""

from __future__ import annotations

from math import hypot


def most(pull: float, shear: float, *, pull_share: float, shear_share: float) -> float:
    """Return the most load, N, of which each screw takes these shares as pull and as shear.

    pull and shear are what one screw holds alone, N. NDS 2018, equation 12.4-1, as transcribed by
    others: Z W / (W cos² a + Z sin² a), where tan a is pull over shear. That formula alone admits
    shear above what the screw holds in shear alone, so neither share may exceed its own value
    either.

    Raises:
        ValueError: a share is negative, or both are nothing.
    """
    if min(pull_share, shear_share) < 0 or max(pull_share, shear_share) == 0:
        raise ValueError("a screw takes a share of the load, never less than nothing")
    together = hypot(pull_share, shear_share)
    # the formula turned round: V²/(R Z) + T²/(R W) is at most 1, R the two together
    weight = shear_share**2 / shear + pull_share**2 / pull
    limits = [together / weight]
    if pull_share:
        limits.append(pull / pull_share)
    if shear_share:
        limits.append(shear / shear_share)
    return min(limits)
