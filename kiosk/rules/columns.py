"""Find the header row of a part list and which of its columns means what."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType
from typing import Final

NEEDED: Final = ("part", "length", "width", "quantity")
SIZES: Final = ("length", "width", "thickness")
TOP_ROWS: Final = 20
NOTHING_SAID: Final[Mapping[str, str]] = MappingProxyType({})

# English, German, French, Spanish and Dutch, small letters without accents. A word that means two
# things (nombre: a number in French, a name in Spanish) stands in both lists: the column that is
# still free gets it, the earlier list first.
_WORDS: Final = {
    "quantity": """quantity|quantities|qty|qnty|qnt|quant|q|count|pcs|pc|pieces|amount|number|off
        |number off|no off|number of|nos|no of pieces|number of pieces|how many|qty required|req
        |anzahl|stuck|stuckzahl|stueck|stueckzahl|stk|st|menge|quantite|qte|nombre|nb|nbre|nb pieces
        |cantidad|cant|ctd|uds|unidades|aantal|stuks|hoeveelheid""",
    "part": """part|parts|part name|partname|name of part|part description|piece|piece name|pieces
        |component|component name|item|item name|description|name|part id|part no|part number
        |cut piece|teil|teile|bauteil|bezeichnung|teilename|teilebezeichnung|benennung|name teil
        |designation|nom|nom de piece|element|pieza|piezas|nombre|nombre pieza|descripcion
        |denominacion|parte|onderdeel|onderdelen|omschrijving|benaming|naam|deel|stuk""",
    "unit": """unit|unit id|unit no|unit number|unit code|cabinet|cabinet id|cabinet no|module
        |module id|assembly|assy|belongs to|unit ref|carcass|einheit|modul|baugruppe|schrank|mobel
        |moebel|korpus|meuble|unite|ensemble|caisson|unidad|modulo|mueble|conjunto|kast|eenheid
        |meubel|samenstelling""",
    "unit_name": """unit name|unitname|unit title|unit description|cabinet name|module name
        |assembly name|modulname|einheit name|name der einheit|nom du meuble|nom du module
        |nombre del modulo|nombre de la unidad|nombre unidad|naam eenheid|kastnaam|modulenaam
        |name""",
    "kind": """kind|type|unit kind|unit type|kind of unit|type of unit|category|art|typ|kategorie
        |genre|sorte|categorie|tipo|clase|categoria|soort""",
    "length": """length|len|lgth|lng|l|long|cut length|finished length|finish length|part length
        |lange|laenge|lg|zuschnittlange|longueur|largo|longitud|lengte""",
    "width": """width|w|wid|wdt|wide|cut width|finished width|finish width|part width|breite|b|br
        |zuschnittbreite|largeur|larg|ancho|anchura|breedte""",
    "thickness": """thickness|thick|thk|th|t|thkns|starke|staerke|dicke|materialstarke
        |plattenstarke|epaisseur|ep|epais|grosor|espesor|grueso|dikte""",
    "material": """material|mat|stock|board|sheet|sheet good|sheet material|material name|species
        |werkstoff|platte|holz|materiau|matiere|panneau|bois|tablero|madera|materiaal|plaat""",
    "grain": """grain|grain direction|grain dir|grain along|maserung|faserrichtung|faser
        |laufrichtung|fil|sens du fil|fil du bois|veta|direccion de veta|nerf|nerfrichting|draad
        |draadrichting""",
    "edge": """edge|edges|edging|edge band|edgeband|edge banding|edgebanding|banding|kante|kanten
        |kantenband|umleimer|bekantung|chant|chants|canto|cantos|canteado|kant|kantenafwerking""",
    "bevel": """bevel|bevels|bevel angle|mitre|miter|angle|gehrung|schrage|fase|winkel|biseau
        |onglet|bisel|inglete|angulo|verstek|afschuining|hoek""",
    "finish": """finish|finishing|coating|coat|surface|surface finish|paint|oberflache|lack
        |beschichtung|anstrich|finition|acabado|afwerking|lak""",
    "wall": "wall|wall id|on wall|room wall|wand|mur|pared|muur",
    "position": """position|place|location|spot|slot|standort|platz|emplacement|lieu|ubicacion
        |posicion|lugar|positie|plaats""",
    "hangs_on": """hangs on|hang on|hung on|hangs from|mounts on|mounted on|on panel|support
        |supported by|carrier|parent|hangt an|haengt an|hangt auf|trager|accroche a|accroche sur
        |fixe sur|suspendu a|support par|cuelga de|cuelga en|colgado en|soporte|hangt aan|drager""",
    "note": """note|notes|comment|comments|remark|remarks|info|bemerkung|bemerkungen|notiz|hinweis
        |kommentar|anmerkung|remarque|remarques|commentaire|observacion|observaciones|nota|notas
        |comentario|opmerking|opmerkingen|notitie""",
    "measure": """units|uom|measure|unit of measure|unit of measurement|units of measure|masseinheit
        |mass einheit|unite de mesure|unidad de medida|meeteenheid|maateenheid""",
    # A list of upright parts names height and width, or length and depth.
    "height": "height|h|hgt|hohe|hoehe|hauteur|haut|alto|altura|hoogte",
    "depth": "depth|dpt|tiefe|profondeur|prof|fondo|profundidad|diepte",
}
# Beside a better word these are only running numbers of the rows.
_WEAK: Final = frozenset(("item", "part no", "part number", "part id", "number", "element", "pos"))
_MEANINGS: Final[dict[str, list[str]]] = {}
for _column, _list in _WORDS.items():
    for _word in _list.split("|"):
        _MEANINGS.setdefault(" ".join(_word.split()), []).append(_column)

_MEASURES: Final = {
    **dict.fromkeys(("mm", "millimeter", "millimeters", "millimetre", "millimetres"), "mm"),
    **dict.fromkeys(("cm", "centimeter", "centimetres", "centimeters", "zentimeter"), "cm"),
    **dict.fromkeys(("m", "meter", "meters", "metre", "metres"), "m"),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "″", "zoll", "pouces", "pulgadas"), "in"),
    **dict.fromkeys(("ft", "feet", "foot", "'"), "ft"),
}
_BRACKETED: Final = re.compile(r"[(\[{<]\s*([^)\]}>]*?)\.?\s*[)\]}>]")
_TRAILING: Final = re.compile(r"(?:[\s/,:_-]+|\bin\s+)(mm|cm|m|inch|inches|in|ft|zoll|\"|″)\.?$")


@dataclass(frozen=True, slots=True)
class Header:
    """The header row: where each of our columns stands, how it was written, its unit of measure.

    row counts from 1; at maps our column to its index from 0; units holds only columns whose
    header names a unit; width is the number of cells up to the last header.
    """

    row: int
    at: Mapping[str, int]
    heard: Mapping[str, str]
    units: Mapping[str, str]
    ignored: tuple[str, ...]
    width: int


def find_header(
    rows: Sequence[Sequence[str]], said: Mapping[str, str] = NOTHING_SAID
) -> Header | None:
    """Find the header among the first 20 rows: the one with most columns understood, first of ties.

    A row counts as a header when at least two of part, length, width and quantity are in it. said
    maps headings, as `names_of` has them, to the column a person says they mean, empty for none.
    """
    best: Header | None = None
    width = max((len(row) for row in rows), default=0)
    for number, row in enumerate(rows[:TOP_ROWS], start=1):
        # what it means is often said one column at a time: a row once found stays the header
        if looks_like_header(row) or looks_like_header(row, said):
            header = _read_header([*row, *[""] * (width - len(row))], number, said)
            if best is None or len(header.at) > len(best.at):
                best = header
    return best


def names_of(row: Sequence[str]) -> list[str]:
    """Return what each column of a header row is called.

    That is its heading; one without a heading, or with that of an earlier column, is `column 3`.
    """
    names: list[str] = []
    for number, cell in enumerate(row, start=1):
        name = " ".join(cell.split())
        names.append(name if name and name not in names else f"column {number}")
    return names


def looks_like_header(row: Sequence[str], said: Mapping[str, str] = NOTHING_SAID) -> bool:
    """Tell whether at least two of the needed columns are named in this row."""
    found: set[str] = set()
    for cell in row:
        if (name := " ".join(cell.split())) in said:
            found.add(said[name])
        elif cell and len(cell) <= 40:
            meanings = _MEANINGS.get(_split(cell)[0], ())
            found.update("length" if word == "height" else word for word in meanings)
    return len(found.intersection(NEEDED)) >= 2


def measure(text: str) -> str | None:
    """Read a unit of measure as a header or a cell names it: mm, cm, m, in, ft or None."""
    return _MEASURES.get(text.strip().strip("()[]").strip().rstrip(".").lower())


def plain(text: str) -> str:
    """Bring words to small letters without accents, marks or doubled spaces."""
    spread = unicodedata.normalize("NFKD", text.casefold())
    return " ".join(re.sub(r"[^a-z0-9]+", " ", re.sub("[\u0300-\u036f]", "", spread)).split())


def _read_header(row: Sequence[str], number: int, said: Mapping[str, str]) -> Header:
    split = {place: _split(cell) for place, cell in enumerate(row) if cell.strip()}
    chosen = {place: said[name] for place, name in enumerate(names_of(row)) if name in said}
    words = {place: one for place, one in split.items() if place not in chosen}
    words = dict(sorted(words.items(), key=lambda place_and_word: place_and_word[1][0] in _WEAK))
    at = {column: place for place, column in chosen.items() if column}
    # Words with one meaning choose first, then those with two, then near misses such as "lenght".
    for wanted in (1, 2, 0):
        for place, (word, _) in words.items():
            if place in at.values():
                continue
            meanings = _MEANINGS.get(word, ()) if wanted else _near(word)
            if wanted in (0, len(meanings)):
                free = [column for column in meanings if column not in at]
                at.update(dict.fromkeys(free[:1], place))
    _stand_in(at)
    heard = {column: row[place].strip() or f"column {place + 1}" for column, place in at.items()}
    measures = {column: split[place][1] for column, place in at.items() if place in split}
    units = {column: measured for column, measured in measures.items() if measured}
    ignored = tuple(row[place].strip() for place in split if place not in at.values())
    return Header(number, at, heard, units, ignored, max((*split, *at.values())) + 1)


def _stand_in(at: dict[str, int]) -> None:
    """Let height stand for a missing length or width and depth for a missing width, else drop."""
    height, depth = at.pop("height", None), at.pop("depth", None)
    for column, stand_ins in (("length", (height,)), ("width", (height, depth))):
        free = [place for place in stand_ins if place is not None and place not in at.values()]
        if column not in at and free:
            at[column] = free[0]


def _near(word: str) -> list[str]:
    close = get_close_matches(word, _MEANINGS, n=1, cutoff=0.8) if len(word) >= 5 else []
    return _MEANINGS[close[0]] if close else []


@lru_cache(maxsize=1024)
def _split(cell: str) -> tuple[str, str]:
    """Part a header such as `Len (mm)`, `L [in]` or `Length, mm` into its word and its unit."""
    text = cell.strip().lower()
    for bracket in _BRACKETED.finditer(text):
        unit = measure(bracket[1])
        if unit:
            return plain(_BRACKETED.sub(" ", text)), unit
    trailing = _TRAILING.search(text)
    if trailing and trailing.start():
        return plain(text[: trailing.start()]), measure(trailing[1]) or ""
    return plain(_BRACKETED.sub(" ", text)), ""
