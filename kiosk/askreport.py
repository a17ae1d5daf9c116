"""Turn questions into the JSON keys of docs/formats.md and into plain text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kiosk.rules.asked import Question

Json = dict[str, Any]  # Any: whatever JSON holds


def questions_json(questions: Sequence[Question]) -> list[Json]:
    """Return questions, one object each."""
    return [
        {
            "id": one.id,
            "job": one.job,
            "unit": one.unit or None,
            "what": one.what,
            "words": one.words,
            "answers": [{"answer": reply.key, "words": reply.words} for reply in one.replies],
        }
        for one in questions
    ]


def questions_text(questions: Sequence[Question]) -> str:
    """Return questions with how to answer each."""
    if not questions:
        return "Nothing is asked."
    blocks = []
    for one in questions:
        about = f"{one.job}/{one.unit}" if one.unit else one.job
        lines = [f"{about}: {one.words}"]
        lines += [f"  --answer {one.id}={reply.key}  {reply.words}" for reply in one.replies]
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def asked_lines(questions: Sequence[Question]) -> list[str]:
    """Return what the board says of questions; nothing where there are none."""
    if not questions:
        return []
    count = "1 question" if len(questions) == 1 else f"{len(questions)} questions"
    lines = [f"  {one.unit or one.job:6} {one.words}" for one in questions]
    return [f"\n{count}: cleatclock questions", *lines]
