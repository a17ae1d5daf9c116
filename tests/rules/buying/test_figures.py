"""The figures a list is reckoned by: usual ones, a shop's own, and what cannot be used."""

from fractions import Fraction

from kiosk.rules.buying.figures import FIGURES, USUAL, parse_figures, say_figure


def test_nothing_said_means_the_usual_figures():
    assert parse_figures("") == (USUAL, ())


def test_usual_figures_are_within_their_own_limits():
    assert all(one.least <= one.usual <= one.most for one in FIGURES)


def test_the_shops_own_figure_counts_exactly_and_says_so():
    found, problems = parse_figures("glue_g_m2 = 180\nstripe_mm = 62.5\n")

    assert problems == ()
    assert found == {**USUAL, "glue_g_m2": 180, "stripe_mm": Fraction(125, 2)}
    glue = FIGURES[0]
    assert say_figure(glue, found["glue_g_m2"]).endswith("180 g/m² (the shop's own).")
    assert say_figure(glue, USUAL["glue_g_m2"]).endswith("200 g/m² (secondary: 120 to 250 g/m²).")


def test_every_mistake_is_named_and_the_usual_figure_stays():
    text = 'glue_g_m2 = 5\nscrew_pitch_mm = "near"\ndisc_m2 = true\nstripe_mm = nan\nlove = 1\n'

    found, problems = parse_figures(text)

    assert found == USUAL
    assert [one.column for one in problems] == [
        "glue_g_m2",
        "screw_pitch_mm",
        "disc_m2",
        "stripe_mm",
        "love",
    ]
    assert "50 to 1000" in problems[0].remedy


def test_a_file_that_is_no_toml_is_named():
    found, problems = parse_figures("glue")

    assert found == USUAL
    assert len(problems) == 1
