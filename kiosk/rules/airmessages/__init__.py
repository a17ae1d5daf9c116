"""Turn what sensors publish over MQTT into readings of the air, one by one and not too many."""

from kiosk.rules.airmessages.gather import EVERY, Gather
from kiosk.rules.airmessages.message import Message, read_message

__all__ = ["EVERY", "Gather", "Message", "read_message"]
