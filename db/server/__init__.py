"""The shop server: a PostgreSQL database that holds the log of several kiosks, one shop or many.

Nothing here is loaded, nor the driver needed, before a command or an exchange asks for a server.
"""
