import io
import random
from pathlib import Path

import pytest

from kiosk.rules.partlist import accounted, read
from kiosk.tables import read_table
from kiosk.tables.text import decode
from tests.workbooks import write_ods, write_xlsx

DATA = Path(__file__).parents[1] / "data"
LISTS = ("german.csv", "inches.csv", "french.tsv", "messy.txt")


def mutate(data: bytes, chance: random.Random) -> bytes:
    """Damage a file the way transfers, editors and other programs do."""
    kind = chance.randrange(7)
    lines = data.split(b"\n")
    if kind == 0:
        damaged = bytearray(data)
        for _ in range(chance.randrange(1, 9)):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        return bytes(damaged)
    if kind == 1:
        return data[: chance.randrange(len(data))]
    if kind == 2:
        del lines[chance.randrange(len(lines))]
        chance.shuffle(lines)
        return b"\n".join(lines)
    if kind == 3:
        one, other = chance.sample([b";", b",", b"\t", b"|", b'"', b"\n", b" "], 2)
        return data.replace(one, other, chance.choice([1, 3, -1]))
    if kind == 4:
        text = data.decode("utf-16" if data[:2] == b"\xff\xfe" else "cp1252", errors="replace")
        codings = ["utf-8", "utf-16", "utf-16-be", "cp850", "cp1250", "utf-7", "mac_roman"]
        return text.encode(chance.choice(codings), errors="replace")
    if kind == 5:
        at = chance.randrange(len(data))
        junk = chance.choice([b'"', b"\x00", b"#", b"\xff\xfe", b"-", b"9" * 40, b"\r", b"1/0"])
        return data[:at] + junk + data[at:]
    at = chance.randrange(len(lines))
    cells = lines[at].split(b";")
    chance.shuffle(cells)
    lines[at] = b";".join(cells[1:] * chance.randrange(1, 3))
    return b"\n".join(lines)


@pytest.mark.parametrize("name", LISTS)
def test_no_damage_to_a_list_raises_or_loses_a_row(tmp_path, name):
    chance = random.Random(name)
    data = (DATA / name).read_bytes()
    file = tmp_path / name
    for _ in range(800):
        file.write_bytes(mutate(data, chance))
        rows, problems = read_table(file)
        result = read(rows, units=chance.choice([None, "mm", "inch"]))
        assert accounted(result, len(rows))
        assert rows or problems
        assert not problems or not rows
        assert problems or lines_in(rows) == lines_of(file.read_bytes())


def lines_of(data: bytes) -> int:
    """Count the lines of a text file, whatever ends them."""
    text = (decode(data) or "").replace("\x00", "").removeprefix("\ufeff")
    return len(io.StringIO(text, newline=None).readlines())


def lines_in(rows: list[list[str]]) -> int:
    """Count the lines that rows came from: one each, and one for each break inside a cell."""
    cells = "".join(cell for row in rows for cell in row)
    return len(rows) + io.StringIO(cells, newline=None).read().count("\n")


@pytest.mark.parametrize("write", [write_xlsx, write_ods])
def test_no_damage_to_a_workbook_raises(tmp_path, write):
    chance = random.Random(7)
    file = tmp_path / "list"
    write(file, [["Part", "Length", "Width", "Qty"], ["Side", 603.5, 300, 2]])
    data = file.read_bytes()
    for _ in range(100):
        damaged = bytearray(data)
        for _ in range(chance.randrange(1, 5)):
            damaged[chance.randrange(len(damaged))] ^= 1 << chance.randrange(8)
        file.write_bytes(damaged[: chance.choice([len(data), -99])])
        rows, problems = read_table(file)
        assert rows or problems
