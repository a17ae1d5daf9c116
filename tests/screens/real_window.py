"""Run the kiosk in a real window, let a text field get and lose the focus, then print each scan.

With `toggle`, the field goes on getting and losing the focus, every TOGGLE_S seconds.
"""

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[2])]


# No whole share of a frame, of a scan or of a second, so that every moment of a scan is met.
TOGGLE_S = 0.037


def main() -> None:
    from fake_shop import REASONS, FakeShop

    from kiosk.app import boot

    full = "full" in sys.argv
    boot(None if full else (1280, 800), fullscreen=full)
    from kivy.clock import Clock
    from kivy.uix.textinput import TextInput

    from kiosk.screens.desk import Post
    from kiosk.screens.kiosk_app import KioskApp

    class Told(FakeShop):
        """Prints what was scanned."""

        def scan(self, text, **rest):
            print(text, flush=True)
            return super().scan(text, **rest)

    app = KioskApp(Told(), post=Post("finish", "Mara", reasons=REASONS))
    field = TextInput()

    def enter(_dt):
        app.desk.stage.add_widget(field)
        Clock.schedule_once(focus, 0)

    def focus(_dt):
        field.focus = True
        Clock.schedule_once(leave, 0)

    def leave(_dt):
        field.focus = False
        app.desk.stage.remove_widget(field)
        if "toggle" in sys.argv:
            app.desk.stage.add_widget(field)
            Clock.schedule_interval(toggle, TOGGLE_S)
        Clock.schedule_once(lambda _dt: print("ready", flush=True), 0)

    def toggle(_dt):
        if field.parent is None:  # an answer puts the bench on the screen anew
            app.desk.stage.add_widget(field)
        field.focus = not field.focus
        field.text = ""
        return True

    Clock.schedule_once(enter, 0)
    app.run()


if __name__ == "__main__":
    main()
