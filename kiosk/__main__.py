"""Run the command line as `python -m kiosk`."""

from kiosk.cli import main

if __name__ == "__main__":
    main()
