"""The rules of the shop: values in, values out; no clock, no file, no database, no screen.

Reading order: lengths, problems, parts, partlist (what comes in) -> products, route (what a shop
works with) -> entries, fold (what happened) -> drying, standing (where everything stands at `now`)
-> scanning (what a scan means) -> floor (the board).

Words: a job has units; a unit has parts and goes through a route of steps and rests; a scan records
a step; the log is append-only and a mistake is struck; a hold stops a unit; a recut replaces a
spoiled part. docs/rules.md names the source of every number.
"""
