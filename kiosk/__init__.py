"""Cleatclock: the kiosk, the command line, and the rules of the shop."""
