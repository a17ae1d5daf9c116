"""The shop's file: an append-only log, and a projection that can be made again from it."""
