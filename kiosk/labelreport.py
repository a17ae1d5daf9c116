"""Turn answers about labels, prints and parts into JSON and into plain text."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.actions import LabelRun, Order, PartHit, Shop
from kiosk.report import Json, count, problem_json, problem_text
from labels.codes import shown
from labels.printing import Line, Stage


def labels_json(run: LabelRun) -> Json:
    """Return what a label run made."""
    return {
        "labels": len(run.codes),
        "pages": run.pages,
        "file": str(run.files[0]) if run.files else None,
        "files": [str(file) for file in run.files],
        "codes": list(run.codes),
        "reprints": run.reprints,
        "void": list(run.void),
        "problems": [problem_json(problem) for problem in run.problems],
    }


def labels_text(run: LabelRun) -> str:
    """Return what a label run made, as text."""
    if run.problems:
        return "\n".join(problem_text(problem) for problem in run.problems)
    again = f", {run.reprints} of them again" if run.reprints else ""
    files = ", ".join(str(file) for file in run.files)
    labels = count(len(run.codes), "label")
    old = "".join(f"\nAn old page is left over: {file}; delete it." for file in run.left_over)
    void = "".join(f"\n{left_out(code)}" for code in run.void)
    pages = count(run.pages, "page")
    return f"{labels} on {pages}{again}; each was read back. {files}{void}{old}"


def left_out(code: str) -> str:
    """Return that a label was left out, since it is void."""
    return f"Left out, its part was spoiled: {shown(code)}."


def prints_text(orders: Sequence[Order], lines: Sequence[Line]) -> str:
    """Return how many labels of some prints are printed."""
    sizes = {order.key: len(order.rows) for order in orders}
    done = sum(sizes[line.key] for line in lines if line.state.stage is Stage.DONE)
    left = sum(sizes.values()) - done
    name = orders[0].title if sum(sizes.values()) == 1 else f"{done + left} labels"
    if done and left:
        return f"{name}: {done} printed, {left} not printed yet."
    return f"{name}: {'not printed yet' if left else 'printed'}."


def print_json(orders: Sequence[Order], lines: Sequence[Line]) -> Json:
    """Return how prints stand; print_job is the first that is not out, or the last."""
    jobs = [
        {
            "key": line.key,
            "stage": str(line.state.stage),
            "words": line.state.words,
            "remedy": line.state.remedy or None,
        }
        for line in lines
    ]
    codes = [code for order in orders for code in order.codes]
    first = next((job for job in jobs if job["stage"] != str(Stage.DONE)), jobs[-1])
    return {"labels": len(codes), "codes": codes, "print_job": first, "print_jobs": jobs}


def parts_json(hits: Sequence[PartHit], shop: Shop) -> Json:
    """Return parts that were found."""
    return {"parts": [_hit(hit, shop) for hit in hits]}


def _hit(hit: PartHit, shop: Shop) -> Json:
    spec, part = hit.state.spec, hit.piece.piece
    return {
        "job": spec.job,
        "unit": spec.unit,
        "part": part.part,
        "size": shop.size_text(spec.job, part),
        "material": part.material or None,
        "code": part.code,
        "done": list(hit.piece.done),
        "printed": hit.state.printed.get(part.code, 0),
    }


def parts_text(hits: Sequence[PartHit], shop: Shop) -> str:
    """Return parts that were found as text, with how to print a label again."""
    if not hits:
        return "No part fits all of these words."
    lines = []
    for hit in hits:
        row = _hit(hit, shop)
        done = ", ".join(row["done"]) or "not cut"
        where = f"{row['job']} {row['unit']}"
        lines.append(f"{shown(row['code'])}  {where:14} {row['part']:20} {row['size']}  {done}")
    first = hits[0]
    again = f"cleatclock labels {first.state.spec.job} --part {first.piece.piece.code}"
    return "\n".join([*lines, f'Again: {again} --reason "label lost"'])
