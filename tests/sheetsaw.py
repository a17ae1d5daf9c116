"""A saw that knows only what `sheets --json` says: it makes the cuts and looks at what comes out.

It shares nothing with the program: no tree, no layout, no other checker. All sizes are whole
1/1600 mm, so that nothing is rounded on the way.
"""

from math import cos, radians, tan

PER_MM = 1600
SLACK = 2  # of a bevel's faces, which are rounded to 1/1600 mm once or twice


class SawError(AssertionError):
    """A cut that cannot be made, or a piece that is not as it was said to be."""


def units(value: float) -> int:
    """Millimetres as whole 1/1600 mm."""
    return round(value * PER_MM)


def saw_sheet(sheet: dict) -> dict[str, tuple[int, int]]:
    """Make all cuts of a sheet; return length and width of each part freed, by its code."""
    whole = (units(sheet["length_mm"]), units(sheet["width_mm"]))
    pieces, freed = {sheet["sheet"]: whole}, {}
    for number, cut in enumerate(sheet["cuts"], 1):
        if cut["number"] != number:
            raise SawError(f"cut {number} is called {cut['number']}")
        if cut["piece_in"] not in pieces:
            raise SawError(f"cut {number}: there is no piece {cut['piece_in']}")
        came = _cut(cut, pieces.pop(cut["piece_in"]), sheet)
        for name, size in came.items():
            if name in pieces:
                raise SawError(f"cut {number}: there are two pieces {name}")
            pieces[name] = size
        for code, name in zip(cut["frees"], _free(cut, list(came), sheet), strict=True):
            if code in freed:
                raise SawError(f"cut {number}: {code} is freed twice")
            freed[code] = pieces[name]
            del pieces[name]
    for one in sheet["offcuts"]:
        size = (units(one["length_mm"]), units(one["width_mm"]))
        if pieces.get(one["piece"]) != size:
            raise SawError(f"{one['piece']} is not the offcut it was said to be")
    if not sheet["cuts"]:
        (only,) = sheet["parts"]
        freed[only["code"]] = whole
    return freed


def _cut(cut: dict, piece: tuple[int, int], sheet: dict) -> dict[str, tuple[int, int]]:
    """What comes out of one cut, the piece that is kept first."""
    length, width = piece
    is_rip, measure = cut["direction"] == "rip", units(cut["measure_mm"])
    side, other = (width, length) if is_rip else (length, width)
    if not 0 < measure < side:
        raise SawError(f"cut {cut['number']}: the fence stands outside the piece")
    kerf, kept = units(sheet["kerf_mm"]), measure
    if cut["tilt"]:
        # the blade leans: on the upper face the kept side is short, the other side is long
        lean = radians(cut["tilt"])
        kerf = round(kerf / cos(lean))
        kept = measure + round(units(sheet["thickness_mm"]) * tan(lean))
    beyond = side - measure - kerf
    sizes = {cut["piece_out"]: (other, kept) if is_rip else (kept, other)}
    if cut["trim"]:
        if beyond > 0 and cut["rest"]:
            raise SawError(f"cut {cut['number']}: a trimmed edge is no rest")
        return sizes
    if cut["rest"]:
        rest = (other, beyond) if is_rip else (beyond, other)
        said = (units(cut["rest_length_mm"]), units(cut["rest_width_mm"]))
        slack = SLACK if cut["tilt"] else 0
        if any(abs(a - b) > slack for a, b in zip(rest, said, strict=True)):
            raise SawError(f"cut {cut['number']}: what remains is {rest}, not {said}")
        sizes[cut["rest"]] = said
    elif beyond > 0 and not cut["tilt"]:
        raise SawError(f"cut {cut['number']}: something remains that is not named")
    return sizes


def _free(cut: dict, came: list[str], sheet: dict) -> list[str]:
    """Which of the pieces that came out are the parts freed: those nothing cuts any further."""
    later = {one["piece_in"] for one in sheet["cuts"] if one["number"] > cut["number"]}
    offcuts = {one["piece"] for one in sheet["offcuts"]}
    return [name for name in came if name not in later | offcuts][: len(cut["frees"])]


def check_parts(sheets: list[dict], wanted: dict[str, dict]) -> None:
    """Saw all sheets; every part of a list must come out once, in its size and its grain.

    wanted: rows of `take-in --json` by the codes of their pieces.
    """
    out = {}
    for sheet in sheets:
        freed = saw_sheet(sheet)
        if set(freed) != {part["code"] for part in sheet["parts"]}:
            raise SawError(f"{sheet['sheet']}: not the parts that lie on it")
        if set(freed) & set(out):
            raise SawError(f"{sheet['sheet']}: a part was cut before")
        out |= freed
    if set(out) != set(wanted):
        raise SawError(f"not the parts of the list: {set(out) ^ set(wanted)}")
    for code, (length, width) in out.items():
        row = wanted[code]
        asked = (units(row["length_mm"]), units(row["width_mm"]))
        turned = asked[::-1]
        allowed = {"length": [asked], "width": [turned]}.get(row["grain"] or "", [asked, turned])
        if not any(abs(length - a) <= SLACK and abs(width - b) <= SLACK for a, b in allowed):
            raise SawError(f"{code} came out as {length} x {width}, wanted {allowed}")
