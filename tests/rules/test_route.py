import pytest
from hypothesis import given, settings

from kiosk.rules.parts import KINDS
from kiosk.rules.route import DUE_STATES, State, parse_routes, scuff_before, steps_for
from tests.builders import ROUTES_TEXT, SETUP, a_unit, a_wall
from tests.strategies import mutated

STEP = '[[{kind}.step]]\nname = "cut"\nstation = "cut"\nstanding = "to_cut"\n'
SMALL = STEP.format(kind="shelf") + "".join(
    f'[{k}]\nlike = "shelf"\n' for k in KINDS[:1] + KINDS[2:]
)
COAT = '[[shelf.step]]\nname = "coat-1"\nstation = "finish"\nstanding = "coat_due"\n'


def names(spec):
    return [step.name for step in steps_for(SETUP.routes[spec.kind], spec)]


def said(text):
    return [(problem.message, problem.column) for problem in parse_routes(text)[1]]


def test_the_routes_that_ship_have_no_fault_and_cover_every_kind():
    routes, problems = parse_routes(ROUTES_TEXT)
    assert problems == ()
    assert set(routes) == set(KINDS)
    assert all(step.standing in DUE_STATES for route in routes.values() for step in route.steps)


def test_a_shelf_goes_through_all_its_steps_in_order():
    with_stripe = (
        "cut gather glue-up fill sand coat-1 scuff-2 coat-2 mask stripe-1 stripe-2 unmask hang"
    )
    assert names(a_unit(accent=True)) == with_stripe.split()


@pytest.mark.parametrize(
    ("spec", "steps"),
    [
        (a_unit(finish=""), "cut gather glue-up hang"),
        (a_unit(parts="A"), "cut fill sand coat-1 scuff-2 coat-2 hang"),
        (a_unit(parts="A", finish=""), "cut hang"),
        (a_unit(parts="", finish=""), "hang"),
        (a_unit(kind="door", finish=""), "clean refit"),
        (a_unit(kind="door"), "clean mask coat-1 scuff-2 coat-2 unmask refit"),
        (a_wall(), "patch sand-1 skim sand-2 coat-1 coat-2"),
    ],
)
def test_a_unit_leaves_out_the_steps_it_does_not_need(spec, steps):
    assert names(spec) == steps.split()


def test_a_step_knows_its_number_and_whether_it_is_a_coat():
    steps = {step.name: step for step in SETUP.routes["shelf"].steps}
    assert [steps[name].number for name in ("coat-2", "glue-up", "cut")] == [2, 0, 0]
    assert [steps[name].is_coat for name in ("coat-2", "scuff-2", "stripe-1")] == [
        True,
        False,
        False,
    ]


def test_only_cutting_and_gathering_go_part_by_part():
    assert [step.name for step in SETUP.routes["shelf"].steps if step.each] == ["cut", "gather"]


def test_the_scuff_before_a_coat_is_made_where_the_route_has_none():
    coat = next(step for step in SETUP.routes["wall"].steps if step.name == "coat-2")
    scuff = scuff_before(coat)
    assert (scuff.name, scuff.station, scuff.standing) == ("scuff-2", "install", State.COAT_DUE)


def test_a_route_like_another_takes_its_steps_and_ends_and_may_end_otherwise():
    text = ROUTES_TEXT.replace(
        '[rail]\ntitle = "Rail"\nlike = "shelf"', '[rail]\nlike = "wall"\nends = [["skim", "sand"]]'
    )
    routes, problems = parse_routes(text)
    assert problems == ()
    assert routes["rail"].steps == routes["wall"].steps
    assert [end.after for end in routes["rail"].ends + routes["wall"].ends] == ["skim", "coat-2"]
    assert routes["rail"].title == "Rail"


def test_left_out_titles_are_made_from_the_name():
    empty = SMALL.replace('name = "cut"', 'name = "cut"\ntitle = ""\ndone = ""')
    for text in (SMALL, empty):
        (step,) = parse_routes(text)[0]["shelf"].steps
        assert (step.title, step.done) == ("cut", "cut done")


def test_every_mistake_is_named_at_once():
    text = SMALL.replace('[wall]\nlike = "shelf"\n', '[cupboard]\nlike = "nothing"\n') + (
        COAT.replace("coat-1", "Coat 1").replace("coat_due", "hung")
        + 'uses = "magic"\nneeds = "luck"\nwait = 3\n'
        + 'waits = [3, ["hang", "sand"], ["cut", "never"]]\n'
        + STEP.format(kind="shelf").replace('station = "cut"', 'station = "yard"')
    )
    assert said(text) == [
        ("Route shelf: a step has no sound name.", "name"),
        ("Route shelf: step Coat 1 has no known standing.", "standing"),
        ("Route shelf: step Coat 1 has a line wait that means nothing.", "wait"),
        ("Route shelf: step Coat 1 has no known uses.", "uses"),
        ("Route shelf: step Coat 1 has no known needs.", "needs"),
        ("Route shelf: Coat 1 waits is not a pair.", "Coat 1 waits"),
        ("Route shelf: Coat 1 waits names no earlier step.", "Coat 1 waits"),
        ("Route shelf: Coat 1 waits names no stage.", "Coat 1 waits"),
        ("Route shelf: step cut stands twice.", "name"),
        ("Route shelf: step cut has no known station.", "station"),
        ("Route cupboard: is no kind of unit.", None),
        ("Route cupboard: is like a route without steps.", "like"),
        ("Route wall: there is no route for this kind.", None),
    ]


def test_a_problem_shows_what_stood_there():
    text = SMALL + COAT + 'waits = [["hang", "sand"], ["cut", "never"], 3]\n'
    assert [problem.value for problem in parse_routes(text)[1]] == ["hang", "never", "3"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("[wall]\nlike =", "[wall]\nlook ="), "Route wall: has no steps."),
        (('[wall]\nlike = "shelf"', "[wall]\nstep = 3"), "Route wall: has no steps."),
        (('[wall]\nlike = "shelf"', '[wall]\nlike = ["shelf"]'), "is like a route without steps."),
        (('[wall]\nlike = "shelf"', '[wall]\nlike = "box"'), "is like a route without steps."),
        (('[wall]\nlike = "shelf"', '[wall]\nlike = "shelf"\nstep = []'), "steps of its own"),
        (('[wall]\nlike = "shelf"', '[wall]\nlike = "shelf"\nends = 3'), "ends is not a pair."),
        (
            ('[wall]\nlike = "shelf"', '[wall]\nlike = "shelf"\nends = [[[], "sand"]]'),
            "earlier step",
        ),
        (('[wall]\nlike = "shelf"', '[wall]\nlike = "shelf"\nends = [["cut", {}]]'), "no stage"),
    ],
)
def test_a_slip_in_one_line_is_named(change, words):
    text = SMALL.replace(*change)
    assert text != SMALL
    assert [words in message for message, _ in said(text)].count(True) == 1


def test_a_kind_that_is_no_table_is_named():
    text = "wall = 3\n" + SMALL.replace('[wall]\nlike = "shelf"\n', "")
    assert said(text) == [("Route wall: is not a table.", None)]


@pytest.mark.parametrize(
    "text",
    [
        "[shelf",
        "a = " + "1" * 5000,
        "a = " + "[" * 100_000,
        "a = 0x" + "f" * 5000,
        "shelf.like = 0x" + "f" * 5000,
        "shelf.like" + ".a" * 3000 + " = 1",
    ],
)
def test_a_file_that_cannot_be_read_is_a_problem_and_no_crash(text):
    routes, (problem,) = parse_routes(text)
    assert routes == {}
    assert "not readable" in problem.message


@settings(derandomize=True, deadline=None)
@given(mutated(SMALL + COAT + 'waits = [["cut", "sand"]]\ncloses = [["cut", "window"]]\n'))
def test_a_damaged_routes_file_never_raises(text):
    routes, problems = parse_routes(text)
    assert problems or set(routes) == set(KINDS)
    assert all(problem.message and problem.remedy for problem in problems)


def test_a_rest_before_hanging_must_count_from_the_last_coat():
    text = ROUTES_TEXT.replace(
        'waits = [["glue-up", "full"], ["coat-2", "hang"], ["stripe-2", "hang"]]',
        'waits = [["glue-up", "full"], ["coat-1", "hang"], ["stripe-2", "hang"]]',
    )

    _, problems = parse_routes(text)

    assert ["hardens from coat-1 on" in problem.message for problem in problems] == [True]


def test_a_hazard_nobody_knows_is_named_and_the_others_are_kept():
    text = ROUTES_TEXT.replace('hazards = ["blades", "dust"]', 'hazards = ["dust", "tigers", 5]', 1)
    _, problems = parse_routes(text)
    assert [(one.column, one.value) for one in problems] == [
        ("hazards", "tigers"),
        ("hazards", "5"),
    ]
    single = ROUTES_TEXT.replace('hazards = ["blades", "dust"]', 'hazards = "dust"', 1)
    routes, problems = parse_routes(single)
    assert problems == ()
    assert routes["shelf"].steps[0].hazards == ("dust",)


def test_a_step_says_how_long_it_takes_by_how_many_and_that_it_cannot_be_left():
    lines = STEP + "minutes = 2.5\ncrew = 2\nwhole = true\n"
    text = SMALL.replace(STEP.format(kind="shelf"), lines.format(kind="shelf"))
    step = parse_routes(text)[0]["shelf"].steps[0]
    assert (step.minutes, step.crew, step.whole) == (2.5, 2, True)
    plain = parse_routes(SMALL)[0]["shelf"].steps[0]
    assert (plain.minutes, plain.crew, plain.whole) == (0.0, 1, False)


@pytest.mark.parametrize(
    "line",
    ["minutes = 0", "minutes = 481", 'minutes = "5"', "crew = 1.5", "crew = true", "crew = 5"],
)
def test_minutes_and_crews_that_are_none_are_named(line):
    text = SMALL.replace('name = "cut"', f'name = "cut"\n{line}')
    assert [column for _message, column in said(text)] == [line.split()[0]]


def crew_of(text):
    return {step.name: step.crew for step in parse_routes(text)[0]["panel"].steps}


def test_a_kind_like_another_has_crews_of_its_own():
    own = SMALL.replace(
        '[panel]\nlike = "shelf"\n', '[panel]\nlike = "shelf"\ncrew = { cut = 2 }\n'
    )
    assert crew_of(own) == {"cut": 2}
    assert crew_of(SMALL) == {"cut": 1}
    assert parse_routes(own)[0]["shelf"].steps[0].crew == 1
    assert parse_routes(own)[1] == ()
    shipped = parse_routes(ROUTES_TEXT)[0]
    hang = {kind: route.steps[-1].crew for kind, route in shipped.items()}
    assert (hang["panel"], hang["shelf"]) == (2, 1)


@pytest.mark.parametrize(
    ("crew", "message"),
    [
        ("3", "the crews are no table"),
        ("{ fly = 2 }", "there is no step fly to have a crew"),
        ("{ cut = 0 }", "step cut has no sound crew"),
        ("{ cut = 1.5 }", "step cut has no sound crew"),
    ],
)
def test_a_crew_that_cannot_be_is_named_and_left_out(crew, message):
    text = SMALL.replace("[panel]\n", f"[panel]\ncrew = {crew}\n")
    assert any(message in words and column == "crew" for words, column in said(text))
    assert crew_of(text) == {"cut": 1}
