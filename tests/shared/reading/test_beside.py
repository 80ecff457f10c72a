"""What stands beside a part: corrections, tolerances, materials, shapes, names; said, asked, never lost."""

from fractions import Fraction

import pytest

from cutting.question.job import Source
from cutting.question.lengths import Unit
from shared.reading import Kind, read_offers, read_parts
from shared.reading.text.names import is_harmless


def one(line: str, unit: Unit = Unit.MM):
    found, questions = read_parts(line, unit=unit)
    assert questions == (), line
    (part,) = found.parts
    return part, found.lines[0].notes


@pytest.mark.parametrize(
    ("line", "quantity", "length", "left"),
    [
        ("4 off SHS 40x40x3 1200 not 1250", 4, 1200, "not 1250"),
        ("4 off SHS 40x40x3 not 1250 but 1200", 4, 1200, "not 1250"),
        ("4 off SHS 40x40x3 1200 (was 1250)", 4, 1200, "was 1250"),
        ("4 off SHS 40x40x3 1200, previously 1250 mm", 4, 1200, "previously 1250 mm"),
        ("4 instead of 6 off SHS 40x40x3 1200", 4, 1200, "instead of 6"),
        ("4 off (not 6) SHS 40x40x3 1200", 4, 1200, "not 6"),
        ("4 off SHS 40x40x3 1200, 1250 is wrong", 4, 1200, "1250 is wrong"),
        ("6 statt 4 Stk Flach 30x5 300", 6, 300, "statt 4"),
        ("2 tube 40x40x3 1420 au lieu de 1400", 2, 1420, "au lieu de 1400"),
        ("5 tubo cuadrado 40x40x3 640, no 604", 5, 640, "no 604"),
        ("2 tubolare 60x40x3 1750 invece di 1700", 2, 1750, "invece di 1700"),
        ("5 ipv 3 koker 25x25x2 600", 5, 600, "ipv 3"),
    ],
)
def test_a_number_that_is_no_longer_right_is_left_aside_and_said(line, quantity, length, left):
    part, notes = one(line)
    assert (part.quantity, part.length) == (quantity, length)
    assert left in part.note
    assert [note for note in notes if "is left aside" in note and left in note]


@pytest.mark.parametrize("line", ["4 no 1200 SHS 40x40x3", "No 604: 4 off SHS 40x40x3 1200", "4 off SHS 40x40x3 1200"])
def test_no_and_number_words_correct_nothing(line):
    part, notes = one(line)
    assert (part.quantity, part.length) == (4, 1200)
    assert not [note for note in notes if "aside" in note]


@pytest.mark.parametrize(
    "tail",
    ["tol 0.5", "tolerance +-0.5", "+/- 0.5", "± 1 mm", "+0 -1", "-0/+1", "(+/-0,5)", "Toleranz 0,5", "tolleranza 1"],
)
def test_a_tolerance_is_a_note(tail):
    part, _ = one(f"4 off SHS 40x40x3 1200 {tail}")
    assert (part.quantity, part.length) == (4, 1200)
    assert tail.strip("()") in part.note


@pytest.mark.parametrize("about", ["+/- 1200", "± 1200", "abt 1200", "env. 1200", "ca 1200", "roughly 1200"])
def test_about_so_long_is_asked(about):
    _, questions = read_parts(f"4 off SHS 40x40x3 {about}", unit=Unit.MM)
    assert "the one length that is to be cut" in questions[0].message


@pytest.mark.parametrize(
    "line",
    [
        "Tolerance +-0.5",
        "Toleranz: 0,5 mm",
        "tolérance générale 1 mm",
        "Finish: galvanised",
        "finition : galva à chaud",
        "Oberfläche: feuerverzinkt",
        "powder coat black",
        "12 bis rue du Port",
    ],
)
def test_what_holds_for_the_whole_list_is_set_aside_and_said(line):
    found, questions = read_parts(f"{line}\n4 off SHS 40x40x3 1200", unit=Unit.MM)
    assert questions == ()
    assert found.lines[0].kind is Kind.REMARK
    assert found.lines[0].notes[0].startswith("set aside: ")
    assert found.parts[0].assembly == ""


@pytest.mark.parametrize("word", ["bronze", "ottone", "alluminio", "corten", "pre-galv", "zincati", "titan", "pvc"])
def test_another_material_behind_the_length_makes_another_section(word):
    part, notes = one(f"4 off SHS 40x40x3 1200 {word}")
    assert part.section.material == word
    assert f"{word} taken as the material" in notes


@pytest.mark.parametrize(
    "word", ["birdsmouth", "scribed", "raked", "tapered", "curved", "gebogen", "cintré", "calandrato"]
)
def test_a_shape_that_no_straight_cut_makes_is_asked_and_can_be_a_remark(word):
    line = f"4 off SHS 40x40x3 1200 {word}"
    _, questions = read_parts(line, unit=Unit.MM)
    assert questions[0].message.startswith(f"{word}: ")
    (choice,) = [each for each in questions[0].choices if "cut square" in each.reading]
    part, _ = one(choice.line)
    assert (part.quantity, part.length, part.ends) == (4, 1200, None)


def test_an_unknown_word_is_said_and_asked_where_a_material_stands():
    part, notes = one("4 off SHS 40x40x3 1200 wibble")
    assert part.note == "wibble"
    assert "not understood, kept as a note: wibble" in notes
    _, questions = read_parts("1 pc unobtainium flat 50x5 300", unit=Unit.MM)
    assert questions[0].message.startswith("unobtainium isn't known")
    part, _ = one(questions[0].choices[0].line)
    assert (part.section.name, part.length) == ("FLAT 50x5", 300)


@pytest.mark.parametrize("word", ["galvinised", "stainles", "verzinktt", "mitrd"])
def test_a_slip_in_a_telling_word_is_asked(word):
    _, questions = read_parts(f"4 off SHS 40x40x3 1200 {word}", unit=Unit.MM)
    assert questions[0].message.startswith(f"{word}: is ")


@pytest.mark.parametrize(
    "name",
    [
        "legs top rail",
        "cross members",
        "Querstreben",
        "Füllstäbe",
        "longerons",
        "barreaudage",
        "patas",
        "travesaños",
        "gambe",
        "correnti",
        "dwarsliggers",
        "bovenregel",
        "shelf-edge",
        "bitte entgraten",
        "svp",
        "graag",
        "por favor",
    ],
)
def test_names_of_parts_are_known_in_six_languages(name):
    _, notes = one(f"4 off SHS 40x40x3 1200 {name}")
    assert notes == ()


@pytest.mark.parametrize("word", ["unobtainium", "monel", "wibble", "oak"])
def test_not_every_word_is_harmless(word):
    assert not is_harmless(word)


@pytest.mark.parametrize(
    ("line", "quantity", "section", "length"),
    [
        ("longerons 2 tube rect 60x40x3 1m85", 2, "RHS 60x40x3", 1850),
        ("two off 50 by 50 by 3 box section at 1450", 2, "SHS 50x50x3", 1450),
        ("half a dozen 40 by 5 flat at 120", 6, "FLAT 40x5", 120),
        ("6 No. 40x5FL 210L", 6, "FLAT 40x5", 210),
        ("2no.60x60x3SHS 2.4m lg.", 2, "SHS 60x60x3", 2400),
        ("tubolare 40x40x3 n.2 da 980", 2, "SHS 40x40x3", 980),
        ("2 off 30x30x3 ang 900", 2, "L 30x30x3", 900),
        ("n. 2 angolari 60x60x6 inox AISI 304 mm 700", 2, "L 60x60x6", 700),
        ("2 off L 30x30x3 3000 in 304", 2, "L 30x30x3", 3000),
        ("36 Rundstahl 12 V2A 890", 36, "ROUND 12", 890),
        ("4 U. tube carré 50x50x3 longueur 2 450 mm", 4, "SHS 50x50x3", 2450),
        ("8 cornière à ailes égales 40x40x4 longueur 410", 8, "L 40x40x4", 410),
        ("voetjes 4x 100, strip 80x8", 4, "FLAT 80x8", 100),
        ("8 trozos de 120 pletina 40x6", 8, "FLAT 40x6", 120),
        ("6x hoek 40x40x4 op 350", 6, "L 40x40x4", 350),
        ("2No. 50 x 50 x 3 SHS x 1,265.5mm long", 2, "SHS 50x50x3", Fraction("1265.5")),
        ("2 flat 40x5 EN 10058 900", 2, "FLAT 40x5", 900),
    ],
)
def test_ways_of_writing_that_workshops_use(line, quantity, section, length):
    part, _ = one(line)
    assert (part.quantity, part.section.name, part.length) == (quantity, section, length)


def test_a_mixed_number_in_words():
    part, _ = one("5 pieces 1 x 1/8 flat bar 16 and 3/4", unit=Unit.IN)
    assert part.length == Fraction(67, 4) * Fraction("25.4")


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("4 off SHS 40x40x3 1200 dozen", "how many is dozen"),
        ("S off FLAT 40x5 210", "how many is S"),
        ("3 meter koker 30x30x2 in 3 stukken", "in 3 stukken: is the length each piece's"),
        ("1 off CHS 33.7x3.2 6.0 m cut in half", "cut in half: is the length each piece's"),
        ("3 piatti 50x5 da 18 e mezzo", "18 e mezzo? write the length in digits"),
        ("un angolare 50x50x5 lungo 1 metro e venti", "1 metro e venti? write the length in digits"),
        ("4 off SHS 40x40x3 1200 minus 3", "which of 1200, 3 is the length"),
        ("2 off SHS 40x40x3 900\nnochmal 2 davon mit 350", "not understood; write quantity, section and length"),
        ("4 off L 40x40x4 500 (45s)", "angled ends aren't understood"),
        ("2 off flat 40x5 300 bend per sketch", "angled ends aren't understood"),
        ("2 off tube carré 60x40x3 1200", "called square, but its sides differ"),
        ("SHS 50x50x3 2 metres 20", "2 metres 20 is 2.20 m, or a length and a quantity"),
        ("2 off SHS 40x40x3 1200\n2 rails 60x40x3 1500", "60x40x3: tube or angle"),
    ],
)
def test_what_has_two_readings_is_asked(line, asked):
    _, questions = read_parts(line, unit=Unit.MM)
    assert questions[0].message.startswith(asked)
    for choice in questions[0].choices:
        assert choice.makes or choice.reading


def test_do_with_a_verb_repeats_no_part():
    found, _ = read_parts("2 off SHS 40x40x3 900\nDO NOT SCALE\ndo. 4 off", unit=Unit.MM)
    assert [(part.line, part.quantity) for part in found.parts] == [(1, 2), (3, 4)]


def test_dimensions_alone_are_no_question_where_the_whole_list_has_them_so():
    found, questions = read_parts("2 off 40x40x3 1200\n2 off 60x40x3 1500", unit=Unit.MM)
    assert questions == ()
    assert [part.section.name for part in found.parts] == ["40x40x3", "60x40x3"]


def offers(text: str, unit: Unit = Unit.MM):
    return read_offers(text, kind=Source.STICKS, unit=unit)


@pytest.mark.parametrize("line", ["SHS 2x2x1/8 20' 61 each", "RHS 2x1x1/8 @ 20' 44 ea"])
def test_each_behind_a_length_is_a_price_or_a_count_and_asked(line):
    _, questions = offers(line, Unit.FT)
    assert "is a price, or so many pieces?" in questions[0].message
    price, pieces = questions[0].choices
    assert offers(price.line, Unit.FT)[0].offers[0].price is not None
    assert offers(pieces.line, Unit.FT)[0].offers[0].available in {61, 44}


def test_money_in_words():
    (offer,) = offers("Tube rect. 60x40x3 barre de 6 m à 38 euros")[0].offers
    assert (offer.price.amount, offer.available) == (38, None)
    (offer,) = offers("Tubo 30x30x2 barra 6 m 14 euros con 20")[0].offers
    assert str(offer.price.amount) == "14.20"
    assert offers("flat 50x6 6m 15-20 pounds")[0].offers == ()
    assert "beside another price" in offers("RHS 60x40x3 6 m £88 or £84 for 5+")[1][0].message


def test_several_parts_on_a_line_know_the_counters_of_a_line_of_one():
    for word in ("Stücke", "pièces", "trozos", "pezzi", "stukken", "lengths"):
        found, questions = read_parts(f"40x40x3 SHS 4 {word} 1200, 2 {word} 950", unit=Unit.MM)
        assert questions == ()
        assert [(part.quantity, part.length) for part in found.parts] == [(4, 1200), (2, 950)]
    assert read_parts("40x40x3 SHS 4 pair 1200, 2 pair 950", unit=Unit.MM)[0].parts == ()


def test_each_or_all_is_asked_where_a_list_has_prices_for_a_lot():
    lines = "6 no. SHS 40x40x3 2400 $6\n4 no. SHS 40x40x3 2400 $12 total"
    assert {question.line for question in offers(lines)[1]} == {1, 2}
    assert offers("6 no. SHS 40x40x3 2400 $6")[1] == ()
