"""Look behind a queue: what does the printer itself say of a print the queue calls done?

With CUPS 2.4.2 one in ten prints that the printer gave up at once ended as completed in the queue:
the part that sends and the part that watches race, and the sender cannot tell the two ends apart.
"""

from __future__ import annotations

from collections.abc import Callable

from labels.printing.ipp import IppClient
from labels.printing.post import NoAnswer, Place, parse_place

_DROPPED = (7, 8)  # RFC 8011 section 5.3.7: cancelled, aborted
_SCHEMES = ("ipp", "ipps", "http", "https")


def gave_up(queue: IppClient, key: str, *, reach: Callable[[Place], IppClient]) -> bool:
    """Return whether the printer behind a queue says that it dropped its last job of this key.

    False where the printer cannot be asked: no IPP, no answer, no memory of the job. Then the
    queue's word counts.

    Args:
        queue: the queue, which knows where its printer is.
        key: the job's name at both.
        reach: gives the client for an address.
    """
    try:
        device = "".join(queue.printer(("device-uri",))[1].words("device-uri")[:1])
        place = parse_place(device)[0] if device.split(":")[0] in _SCHEMES else None
        if place is None:
            return False
        ours = [job for job in reach(place).jobs("completed") if key in job.words("job-name")]
    except NoAnswer:
        return False
    last = max(ours, key=lambda job: max(job.numbers("job-id"), default=0), default=None)
    return last is not None and any(state in _DROPPED for state in last.numbers("job-state"))
