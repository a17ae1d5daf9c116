"""Hypothesis strategies: damaged text, and the logs of two kiosks about one unit."""

from dataclasses import replace

from hypothesis import strategies as st

from kiosk.rules.entries import Entry, Kind
from kiosk.rules.parts import as_body
from tests.builders import a_piece, a_unit, an_entry, at, taken

# what people's fingers and editors do to a file
_SCRAPS = (
    "",
    "[",
    "]",
    "{}",
    '"',
    "=",
    "\n",
    "[[",
    "3",
    "true",
    "nan",
    "[[1]]",
    "é",
    "[x]\n",
    "\x00",
)


@st.composite
def mutated(draw, text: str) -> str:
    """Return the text with one to four stretches replaced by scraps."""
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 12)))
        text = text[:start] + draw(st.sampled_from(_SCRAPS)) + text[end:]
    return text


UNIT_STEPS = ("glue-up", "fill", "sand", "coat-1", "scuff-2", "coat-2", "mask", "hang")
_CODES = ("A", "B", "A2", "A3", "B2")
_SPECS = (
    a_unit("S1"),
    a_unit("S1", parts="ABC", accent=True),
    replace(a_unit("S1"), pieces=(a_piece("A"),), finish=""),
    a_unit("S1", parts="B"),
)


def _acts() -> st.SearchStrategy[tuple[Kind, dict]]:
    """Return what a kiosk may write, without strikes and lifts, which need a target."""
    step = st.sampled_from(UNIT_STEPS).map(lambda name: (Kind.STEP_DONE, {"step": name}))
    part = st.tuples(st.sampled_from(("cut", "gather")), st.sampled_from(_CODES)).map(
        lambda pair: (Kind.STEP_DONE, {"step": pair[0], "part": pair[1]})
    )
    spoil = st.sampled_from((("A", "A2"), ("A2", "A3"), ("A", "A3"), ("B", "B2"))).map(
        lambda pair: (Kind.PART_SPOILED, {"part": pair[0], "recut": pair[1]})
    )
    hold = st.just((Kind.HOLD_PUT, {"reason": "waits for the customer"}))
    revised = st.sampled_from(_SPECS).map(lambda spec: (Kind.UNIT_TAKEN, as_body(spec)))
    gone = st.just((Kind.UNIT_GONE, {}))
    printed = st.just((Kind.LABELS_PRINTED, {"codes": ["A", "B"]}))
    fitted = st.sampled_from((0, 1600)).map(lambda drop: (Kind.UNIT_FITTED, {"drop": drop}))
    allowed = st.just((Kind.HANGING_ALLOWED, {"reason": "other reason", "check": []}))
    return st.one_of(step, step, part, part, spoil, hold, revised, gone, printed, fitted, allowed)


@st.composite
def logs(draw, most: int = 14) -> list[Entry]:
    """Return the entries two kiosks wrote about one unit in ten days, the list taken in first.

    Times may collide between kiosks, scans may be late, strikes and lifts name any entry of the
    log, also one that comes after them or that may not be struck.
    """
    entries = [taken(_SPECS[0])]
    seq = {"K1": 1, "K2": 0}
    for _ in range(draw(st.integers(0, most))):
        kiosk = draw(st.sampled_from(("K1", "K2")))
        seq[kiosk] += 1
        kind, body = draw(_acts())
        minutes = draw(st.integers(0, 10 * 24 * 4)) * 15
        when = at("07:00") + minutes * (at("07:01") - at("07:00"))
        if kind == Kind.STEP_DONE and draw(st.booleans()):
            body = body | {
                "at_ms": int(when.timestamp() * 1000) - draw(st.integers(0, 5)) * 600_000
            }
        entries.append(an_entry(kind, body, when=when, seq=seq[kiosk], kiosk=kiosk))
    for kind in draw(st.lists(st.sampled_from((Kind.STRUCK, Kind.HOLD_LIFTED)), max_size=4)):
        seq["K2"] += 1
        target = draw(st.sampled_from(entries)).id
        when = at("07:00") + draw(st.integers(0, 240)) * (at("08:00") - at("07:00"))
        entries.append(an_entry(kind, {"target": target}, when=when, seq=seq["K2"], kiosk="K2"))
    return entries


@st.composite
def answered_logs(draw) -> list[Entry]:
    """Return such a log with answers to questions in it: what they brought about, and strikes.

    Each of two questions is answered at most twice, knowing of the answer before or not; which of
    two answers counts is asked and answered at most once.
    """
    entries = draw(logs(most=5))
    seq = 100

    def write(kind: Kind, body: dict, **given: str) -> None:
        nonlocal seq
        seq += 1
        when = at("07:00") + draw(st.integers(0, 240)) * (at("08:00") - at("07:00"))
        entries.append(an_entry(kind, body, when=when, seq=seq, kiosk="K3", **given))

    questions = draw(st.lists(st.sampled_from(("twice:1", "twice:1", "held:2")), max_size=3))
    given: dict[str, list[str]] = {}
    for number, question in enumerate(questions):
        answer, known = f"answer-{number}", given.setdefault(question, [])
        if len(known) == 2:
            continue
        for _ in range(draw(st.integers(0, 2))):
            target = draw(st.sampled_from(entries)).id
            kind, body = draw(st.one_of(_acts(), st.just((Kind.STRUCK, {"target": target}))))
            write(kind, {**body, "answer": answer})
        after = {"after": list(known)} if known and draw(st.booleans()) else {}
        write(Kind.QUESTION_ANSWERED, {"question": question, **after}, id=answer)
        known.append(answer)
    two = next((known for known in given.values() if len(known) == 2), None)
    if two and draw(st.booleans()):
        back = {"target": draw(st.sampled_from(two)), "back": True, "answer": "choice"}
        write(Kind.STRUCK, back)
        write(Kind.QUESTION_ANSWERED, {"question": f"answers:{'-'.join(two)}"}, id="choice")
    for _ in range(draw(st.integers(0, 2))):
        write(Kind.STRUCK, {"target": draw(st.sampled_from(entries)).id})
    return entries


def moments() -> st.SearchStrategy:
    """Return moments from the first day to three weeks later."""
    quarter = at("07:15") - at("07:00")
    return st.integers(0, 21 * 24 * 4).map(lambda n: at("07:00") + n * quarter)
