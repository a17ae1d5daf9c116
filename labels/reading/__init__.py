"""Read part codes from pictures, and from a camera's frames one after another.

Only QR and Code 128 are looked for. A text counts only if it is a sound part code as it stands:
what was misread from a damaged label is refused by its length or its check letter.
"""

from labels.reading.picture import Find, Found, read_picture
from labels.reading.still import read_file
from labels.reading.watcher import HELD_FRAMES, UNSEEN_AFTER_S, Watcher

__all__ = [
    "HELD_FRAMES",
    "UNSEEN_AFTER_S",
    "Find",
    "Found",
    "Watcher",
    "read_file",
    "read_picture",
]
