"""Draw the questions in their states, for the guide and for tests."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.rules.scanning import Answer, Outcome
from kiosk.screens.asksamples import ASKED, TWICE
from kiosk.screens.board import BoardScreen
from kiosk.screens.stage import Stage


def show_asked(stage: Stage) -> Iterator[str]:
    """Put the questions up: none, some, one of them, answered, and their sign on the board."""
    desk = stage.app.desk
    asks, back = desk.shopdesk.asks, desk.shopdesk.open
    asks.show(back, 0, ())
    stage.settle()
    yield "questions-none"
    asks.show(back, 0, ASKED)
    stage.settle()
    yield "questions"
    asks.ask(TWICE, back)
    stage.settle()
    yield "question"
    done = Answer(Outcome.RECORDED, TWICE.replies[1].words, TWICE.words, unit="G05", job="GLAZE")
    asks.show_answered(done, back)
    stage.settle()
    yield "question-answered"
    assert desk.floor is not None
    for layout in ("places", "bands"):
        board = BoardScreen(desk.trim, layout=layout, back=desk.go_home, ask=desk.open_questions)
        board.show(desk.floor)
        board.show_questions(len(ASKED))
        desk.put(board)
        stage.settle()
        yield f"board-{layout}-questions"
    desk.open_bench()
