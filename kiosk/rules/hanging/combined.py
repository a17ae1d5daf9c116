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
    # shares of any size are taken in parts of the larger, so that none is too small to square
    whole = max(pull_share, shear_share)
    t, v = pull_share / whole, shear_share / whole
    # the formula turned round: V²/(R Z) + T²/(R W) is at most 1, R the two together
    limits = [hypot(t, v) / (v**2 / shear + t**2 / pull)]
    if t:
        limits.append(pull / t)
    if v:
        limits.append(shear / v)
    return min(limits) / whole
