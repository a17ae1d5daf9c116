"""Part codes, symbols, label stocks and pages; knows nothing of jobs or parts."""


class LabelError(Exception):
    """A label could not be made; the message says which, why and the way out."""
