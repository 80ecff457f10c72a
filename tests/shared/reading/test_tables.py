"""Tables as strangers send them: what a column holds is known, or asked once; no number is left to chance."""

from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import PerLength, PerStick, Source
from shared.reading import answer_alike, lines_of, read_offers, read_parts, rewritten

PARTS = {
    "sizes in columns of their own": (
        "Type,W,H,T,Length mm,Qty\nSHS,40,40,3,1200,4\nCHS,48.3,,3.2,1500,3\n",
        [(4, "SHS 40x40x3", 1200), (3, "CHS 48.3x3.2", 1500)],
    ),
    "a wall in a column of its own": (
        "Profil;Wandstärke;Länge;Stk\nQuadratrohr 40x40;3;1200;4\n",
        [(4, "SHS 40x40x3", 1200)],
    ),
    "sizes said twice": ("Section\tW\tH\tLength mm\tQty\nSHS 40x40x3\t40\t40\t1200\t4\n", [(4, "SHS 40x40x3", 1200)]),
    "for each, and in all": (
        "Profil\tLänge\tje Rahmen\tgesamt\nQuadratrohr 40x40x3\t1150\t2\t12\nFlachstahl 40x5\t180\t1\t6\n",
        [(12, "SHS 40x40x3", 1150), (6, "FLAT 40x5", 180)],
    ),
    "sums that bridge columns set with spaces": (
        (
            "Item  Qty  Size            Length mm\n"
            "1     4    SHS 40x40x3     1320\n"
            "2     8    SHS 40x40x3     645\n"
            "        Sub-total  12\n"
            "3     6    FB 40x5         250\n"
        ),
        [(4, "SHS 40x40x3", 1320), (8, "SHS 40x40x3", 645), (6, "FLAT 40x5", 250)],
    ),
    "two tables set with spaces": (
        (
            "Qty  Size          Length mm\n4    SHS 40x40x3   1320\n2    SHS 40x40x3   640\n\n"
            "Length mm   Size          Qty\n1500        RHS 60x40x3   3\n410         RHS 60x40x3   8\n"
        ),
        [(4, "SHS 40x40x3", 1320), (2, "SHS 40x40x3", 640), (3, "RHS 60x40x3", 1500), (8, "RHS 60x40x3", 410)],
    ),
    "one length in two units": (
        "Section\tLength mm\tLength in\tQty\nSHS 40x40x3\t1200\t47.24\t4\nFB 50x6\t300\t11 13/16\t2\n",
        [(4, "SHS 40x40x3", 1200), (2, "FLAT 50x6", 300)],
    ),
    "titles and rows within a letter": (
        (
            "Hi Dale,\n\nhere is the list for the stand.\n\nQty\tSection\tLength mm\n4\tSHS 40x40x3\t1200\n"
            "2\tFB 50x6\t300\n\nPlease have it ready by Friday.\nThanks,\nMel\n"
        ),
        [(4, "SHS 40x40x3", 1200), (2, "FLAT 50x6", 300)],
    ),
    "cut over lengths": (
        "Where\tMember\tCut\tQty\nback\tSHS 40x40x3\t1820\t2\nside\tSHS 40x40x3\t610\t4\n",
        [(2, "SHS 40x40x3", 1820), (4, "SHS 40x40x3", 610)],
    ),
    "a row of units with counters and money": (
        "Pos\tProfil\tLänge\tMenge\tPreis\n\t\t[mm]\t[Stk]\t[€/m]\n1\tSHS 40x40x3\t1200\t4\t5,10\n",
        [(4, "SHS 40x40x3", 1200)],
    ),
}


@pytest.mark.parametrize(("text", "parts"), PARTS.values(), ids=PARTS)
def test_a_table_of_parts(text, parts):
    found, questions = read_parts(text)
    assert [question.message for question in questions] == []
    assert [(part.quantity, part.section.name, part.length) for part in found.parts] == parts


def sticks(text):
    found, questions = read_offers(text, kind=Source.STICKS)
    return [(each.available, each.section.name, each.length, each.price) for each in found.offers], questions


def each(amount):
    return PerStick(amount=Decimal(amount))


OFFERS = {
    "net beside list": ("Section\tLength mm\tList\tNet\nSHS 40x40x3\t6000\t34.20\t27.36\n", (None, each("27.36"))),
    "neto beside tarifa": ("Perfil;Largo mm;Tarifa;Neto\nSHS 40x40x3;6000;41,20;32,96\n", (None, each("32.96"))),
    "stock beside an article": ("Artículo;Largo mm;Neto;Stock\nSHS 40x40x3;6000;32,96;18\n", (18, each("32.96"))),
    "was and now": ("Item\tStick\tWas\tNow\nSHS 40x40x3\t6 m\t£34.20\t£27.36\n", (None, each("27.36"))),
    "each beside a rate": (
        "Section\tLength mm\tPrice each\tPrice per m\nSHS 40x40x3\t6000\t£33.10\t£5.52\n",
        (None, each("33.10")),
    ),
    "what all of them cost": (
        "Section\tLength mm\tStock\tPrice\tCost\nSHS 40x40x3\t6000\t3\t33.10\t99.30\nFB 50x6\t6000\t2\t20.05\t40.10\n",
        (3, each("33.10")),
    ),
    "more than": ("Section\tLength mm\tPrice\tStock\nSHS 40x40x3\t6000\t33.10\t30+\n", (30, each("33.10"))),
    "plenty": ("Section\tLength mm\tPrice\tStock\nSHS 40x40x3\t6000\t33.10\tplenty\n", (None, each("33.10"))),
    "a least quantity": (
        "Section,Length mm,Price ea,Min qty,Stock\nSHS 40x40x3,6000,£33.10,5,60\n",
        (60, each("33.10")),
    ),
    "for a hundred": (
        "Section\tLength mm\tPrice/100 m\nSHS 40x40x3\t6000\t552.00\n",
        (None, PerLength(amount=Decimal("552.00"), per=Fraction(100_000))),
    ),
    "for a tonne": ("Section\tLength mm\t€/kg\tkg/m\nSHS 40x40x3\t6000\t1,38\t3,45\n", None),
    "decimal commas set with spaces": (
        "Profil         Länge mm   Preis\nSHS 40x40x3    6000       31,20\nSHS 50x50x3    6000       40,80\n",
        (None, each("31.20")),
    ),
}


@pytest.mark.parametrize(("text", "first"), OFFERS.values(), ids=OFFERS)
def test_a_table_of_sticks(text, first):
    found, questions = sticks(text)
    assert questions == ()
    available, section, length, price = found[0]
    assert (section, length) == ("SHS 40x40x3", 6000)
    assert first is None or (available, price) == first


@pytest.mark.parametrize(
    "word", ["0", "nil", "out of stock", "agotado", "épuisé", "niet op voorraad", "nicht auf Lager"]
)
def test_what_is_out_of_stock_is_not_offered_and_said(word):
    found, questions = read_offers(
        f"Section\tLength mm\tPrice\tStock\nSHS 40x40x3\t6000\t33.10\t{word}\n", kind=Source.STICKS
    )
    assert (found.offers, questions) == ((), ())
    assert any(": not offered" in note for note in found.lines[1].notes)


def test_a_minimum_is_said_with_its_title():
    found, _ = read_offers("Section,Length mm,Price,Min qty\nSHS 40x40x3,6000,33.10,5\n", kind=Source.STICKS)
    assert found.offers[0].note == "Min qty 5"


def test_a_column_of_numbers_is_asked_about_once_where_it_may_be_the_quantity():
    text = "Section\tLength mm\tLot\nSHS 40x40x3\t1200\t4\nSHS 40x40x3\t900\t2\n"
    found, questions = read_parts(text)
    assert found.parts == ()
    assert [(each.line, each.message) for each in questions] == [(1, "what does the column Lot hold?")]
    assert found.lines[1].notes[-1] == "what its columns hold is asked in line 1"
    counted, left = read_parts(text.replace("Lot", "Qty"))
    assert [choice.line for choice in questions[0].choices] == ["Section\tLength mm\tQty", "Section\tLength mm\tNote"]
    assert ([part.quantity for part in counted.parts], left) == ([4, 2], ())
    noted, left = read_parts(text.replace("Lot", "Note"))
    assert ([part.quantity for part in noted.parts], left) == ([1, 1], ())


def test_a_total_that_is_no_multiple_is_no_quantity():
    text = "Section\tLength mm\tper frame\ttotal\nSHS 40x40x3\t1200\t2\t12\nSHS 40x40x3\t900\t4\t20\n"
    found, _ = read_parts(text)
    assert [part.quantity for part in found.parts] == [2, 4]


def test_titles_set_with_spaces_keep_their_columns_when_they_are_answered():
    text = "Section        Lot     Length mm\nSHS 40x40x3    4       1200\nSHS 40x40x3    2       900\n"
    _, questions = read_parts(text)
    found, left = read_parts(rewritten(lines_of(text), {1: questions[0].choices[0].line}))
    assert ([(part.quantity, part.length) for part in found.parts], left) == ([(4, 1200), (2, 900)], ())


def test_which_of_two_prices_is_paid_is_asked_once():
    text = "Section\tLength mm\tGBP\tEUR\tStock\nSHS 40x40x3\t6000\t33.10\t39.00\t4\nFB 50x6\t6000\t20.00\t24.00\t9\n"
    found, questions = sticks(text)
    assert found == []
    assert [each.message for each in questions] == ["GBP and EUR: which one is to be paid?"]
    found, left = sticks(rewritten(lines_of(text), {1: questions[0].choices[1].line}))
    assert ([each[3].amount for each in found], left) == ([Decimal("39.00"), Decimal("24.00")], ())


def test_a_discount_in_a_column_is_asked_and_one_answer_holds_for_all():
    text = "Section\tLength mm\tList price\tDisc. %\nSHS 40x40x3\t6000\t£36.00\t20\nFB 50x6\t6000\t£21.00\t10\n"
    read, questions = read_offers(text, kind=Source.STICKS)
    assert [choice.reading for choice in questions[0].choices] == ["£28.80 is to be paid", "£36.00 is to be paid"]
    answers = answer_alike(read.lines, questions[0].alike, questions[0].choices[0].reading)
    found, left = sticks(rewritten(lines_of(text), answers))
    assert ([each[3].amount for each in found], left) == ([Decimal("28.80"), Decimal("18.90")], ())


def test_prices_without_a_column_are_asked_and_never_moved_to_the_next():
    lined = "Section        6 m       12 m\nSHS 40x40x3    31.20     61.80\nSHS 60x60x4              122.40\n"
    found, questions = sticks(lined)
    assert questions == ()
    assert [(length, price.amount) for _, _, length, price in found][2:] == [(12_000, Decimal("122.40"))]
    ragged = "Section  6 m  12 m\nSHS 40x40x3  31.20  61.80\nSHS 60x60x4  122.40\n"
    found, questions = sticks(ragged)
    assert len(found) == 2
    assert [each.message for each in questions] == ["which of 6 m, 12 m are these for? write - where there is none"]


def test_a_question_of_a_second_table_points_into_its_own_columns():
    text = "Section\tLength mm\tQty\nSHS 40x40x3\t1200\t4\n\nQty\tLength\tSection\n4\t1.500 mm\tSHS 40x40x3\n"
    (question,) = read_parts(text)[1]
    assert question.text[question.position :].startswith("1.500")
    assert question.choices[0].line == "4\t1500 mm\tSHS 40x40x3"


def test_what_stands_instead_of_a_price_in_a_matrix_is_said():
    text = "Section\t6 m\t12 m\nSHS 40x40x3\t31.20\tout of stock\nSHS 60x60x4\tPOA\t122.40\n"
    found, questions = read_offers(text, kind=Source.STICKS)
    assert ([(each.length, each.price.amount) for each in found.offers], questions) == (
        [(6000, Decimal("31.20")), (12_000, Decimal("122.40"))],
        (),
    )
    assert [line.notes[-1] for line in found.lines[1:3]] == ["12 m: out of stock, not offered", "6 m: POA, not offered"]


def test_which_of_two_lengths_is_the_part_s_is_asked_once():
    text = "Section\tStock length\tCut length\tQty\nSHS 40x40x3\t6000\t1200\t4\nSHS 40x40x3\t6000\t900\t2\n"
    found, questions = read_parts(text)
    assert found.parts == ()
    assert [each.message for each in questions] == ["Stock length and Cut length: which one is the length of the part?"]
    found, left = read_parts(rewritten(lines_of(text), {1: questions[0].choices[1].line}))
    assert ([(part.quantity, part.length) for part in found.parts], left) == ([(4, 1200), (2, 900)], ())


@pytest.mark.parametrize("kind", ["parts", "sticks"])
def test_a_plan_s_buy_list_is_asked_about_before_it_is_read_as_something_else(kind):
    text = "line,section,grade,wall,length,from,quantity,price EUR,cost EUR,weight each,weight,plan\n"
    text += "S1,RHS 60x40x3,,3 mm,6000 mm,yard,2,38.40,76.80,25.5 kg,51 kg,3R8V\n"
    read = read_parts if kind == "parts" else lambda text: read_offers(text, kind=Source.STICKS)
    found, questions = read(text)
    assert [each.line for each in questions] == [1]
    assert questions[0].message.startswith("this is what a plan buys")
    found, left = read(rewritten(lines_of(text), {1: questions[0].choices[0].line}))
    assert left == ()
    assert len(found.parts if kind == "parts" else found.offers) == 1
