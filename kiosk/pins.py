"""Turn a PIN into a hash that may stand in the log, and tell whether a PIN is the one of a hash.

It takes tens of milliseconds on purpose: never call it on the thread that draws.
"""

from __future__ import annotations

from argon2 import PasswordHasher, Type, extract_parameters
from argon2.exceptions import InvalidHashError, VerificationError

# OWASP, "Password Storage Cheat Sheet", Argon2id: at least 19 MiB, two iterations, one lane.
MEMORY_KIB = 19 * 1024
ITERATIONS = 2
LANES = 1
# A hash that came from elsewhere must not make a kiosk reckon for minutes or fill its memory: more
# than this is no hash of ours. Choice.
_MOST_MEMORY_KIB, _MOST_ITERATIONS, _MOST_LANES = 64 * 1024, 8, 4
_HASHER = PasswordHasher(
    time_cost=ITERATIONS, memory_cost=MEMORY_KIB, parallelism=LANES, type=Type.ID
)


def hash_pin(pin: str) -> str:
    """Return the argon2id hash of a PIN with a salt of its own, as a PHC text.

    The parameters stand in the text, so that later ones may be stronger.
    """
    return _HASHER.hash(pin)


def matches(kept: str, pin: str) -> bool:
    """Tell whether a PIN is the one of a hash; False for a text that is no hash of ours."""
    try:
        asked = extract_parameters(kept)
        if (
            asked.type != Type.ID
            or asked.memory_cost > _MOST_MEMORY_KIB
            or asked.time_cost > _MOST_ITERATIONS
            or asked.parallelism > _MOST_LANES
        ):
            return False
        return _HASHER.verify(kept, pin)
    except (InvalidHashError, VerificationError, ValueError):
        return False
