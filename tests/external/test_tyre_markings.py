"""What stands on a tyre, against published tables and worked examples.

Designation: UN Regulation No. 75, paragraphs 2 and 3 (forms seen by way of trade pages; "-" for diagonal and M/C from
memory). Load index: UN Regulation No. 75, annex 4, copied from two pages that agree; the annex was not opened. Speed
symbol: UN Regulation No. 75 (J to W), ETRTO and ISO (Y). The steps are multiples of ten: tables that were converted
to miles and back (K 109, L 121, Q 159) are wrong.
"""

from itertools import pairwise

import pytest

from walkround.narration.lexicon import load_lexicon
from walkround.trade.tables import Tables
from walkround.trade.tyres import Designation, load_kg, meaning, parse_designation, speed_kmh

#: Load index to kg, 40 to 80: typed from the published pages, not from our own table.
LOADS = """
40 140  41 145  42 150  43 155  44 160  45 165  46 170  47 175  48 180  49 185  50 190  51 195  52 200  53 206  54 212
55 218  56 224  57 230  58 236  59 243  60 250  61 257  62 265  63 272  64 280  65 290  66 300  67 307  68 315  69 325
70 335  71 345  72 355  73 365  74 375  75 387  76 400  77 412  78 425  79 437  80 450
"""
SPEEDS = "J 100  K 110  L 120  M 130  N 140  P 150  Q 160  R 170  S 180  T 190  U 200  H 210  V 240  W 270  Y 300"
NUMBERS = LOADS.split()
LOAD = dict(zip(map(int, NUMBERS[::2]), map(int, NUMBERS[1::2]), strict=True))
SPEED = dict(zip(SPEEDS.split()[::2], map(int, SPEEDS.split()[1::2]), strict=True))


@pytest.fixture(scope="module")
def tables() -> Tables:
    return Tables(load_lexicon())


def test_there_are_41_load_indices() -> None:
    assert sorted(LOAD) == list(range(40, 81))


@pytest.mark.parametrize("index", range(40, 81))
def test_load_index(tables: Tables, index: int) -> None:
    assert load_kg(tables, index) == LOAD[index]


@pytest.mark.parametrize("index", [0, 39, 81, 999])
def test_a_load_index_outside_the_table_has_no_load(tables: Tables, index: int) -> None:
    assert load_kg(tables, index) is None


def test_loads_rise_and_step_by_five_to_52(tables: Tables) -> None:
    loads = [load_kg(tables, n) or 0 for n in range(40, 81)]
    assert loads == sorted(set(loads))
    assert [b - a for a, b in pairwise(loads[:13])] == [5] * 12


@pytest.mark.parametrize("symbol", sorted(SPEED))
def test_speed_symbol(tables: Tables, symbol: str) -> None:
    assert speed_kmh(tables, symbol) == SPEED[symbol]


@pytest.mark.parametrize("symbol", ["I", "O", "X", "", "WW", "h"])
def test_what_is_no_speed_symbol(tables: Tables, symbol: str) -> None:
    assert speed_kmh(tables, symbol) is None


def test_h_stands_between_u_and_v(tables: Tables) -> None:
    assert (speed_kmh(tables, "U"), speed_kmh(tables, "H"), speed_kmh(tables, "V")) == (200, 210, 240)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("120/70 ZR17 M/C (58W)", Designation(120, 70, "ZR", 17, True, 58, "W", True)),
        ("180/55 ZR17 M/C (73W)", Designation(180, 55, "ZR", 17, True, 73, "W", True)),
        ("190/50 ZR 17 (73W) TL", Designation(190, 50, "ZR", 17, False, 73, "W", True, "TL")),
        ("120/70 ZR17 M/C 58W", Designation(120, 70, "ZR", 17, True, 58, "W")),
        ("110/80 R19 59V", Designation(110, 80, "R", 19, False, 59, "V")),
        ("130/80 B 17 65H", Designation(130, 80, "B", 17, False, 65, "H")),
        ("90/90-21 M/C 54H TT", Designation(90, 90, "-", 21, True, 54, "H", False, "TT")),
        ("100/90-19 57H", Designation(100, 90, "-", 19, False, 57, "H")),
        ("3.00-18 47P", Designation(3.0, None, "-", 18, False, 47, "P")),
        ("120/70ZR17", Designation(120, 70, "ZR", 17)),
    ],
)
def test_designations(text: str, parts: Designation) -> None:
    assert parse_designation(text) == parts


@pytest.mark.parametrize("text", ["120 70 17", "MT90-16", "", "120/70", "1207017", "120/70 ZR17 (58W"[:-1] + "("])
def test_what_is_no_designation(text: str) -> None:
    assert parse_designation(text) is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("180/55 ZR17 M/C (73W)", "73: 365 kg; speed symbol W: above 270 km/h"),
        ("120/70 ZR17 M/C 58W", "58: 236 kg; speed symbol W: to 270 km/h"),
        ("110/80 R19 59V", "59: 243 kg; speed symbol V: to 240 km/h"),
        ("130/80 B17 65H", "65: 290 kg; speed symbol H: to 210 km/h"),
        ("3.00-18 47P", "47: 175 kg; speed symbol P: to 150 km/h"),
    ],
)
def test_what_a_designation_says(tables: Tables, text: str, says: str) -> None:
    said, ask = meaning(tables, text)
    assert said is not None
    assert says in said
    assert "UN Regulation No. 75" in said
    assert ask is None


def test_a_service_description_outside_the_tables_is_asked_about(tables: Tables) -> None:
    said, ask = meaning(tables, "120/70 ZR17 99I")
    assert said is not None
    assert "kg" not in said
    assert ask is not None
    assert ask.endswith("?")
