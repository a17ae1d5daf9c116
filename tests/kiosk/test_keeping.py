from kiosk.actions import Shop
from kiosk.clock import FixedClock
from kiosk.config import load
from kiosk.store import Store
from tests.builders import at


def test_a_shop_keeps_settings_in_the_file_beside_its_own(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    try:
        shop = Shop(store, load("")[0], FixedClock(at("12:00")))
        assert shop.keep_settings({"screen_diagonal_in": 42.6, "theme": "dark"}) == ""
        assert shop.keep_settings({"theme": "pink"}) == "theme is none of light, dark."
    finally:
        store.close()
    kept, problems = load((tmp_path / "settings.toml").read_text("utf-8"))
    assert (kept.screen_diagonal_in, kept.theme, problems) == (42.6, "dark", ())
