"""Property tests of the job file: what is written is read back the same; noise is refused in words."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.question.job import (
    Break,
    Discount,
    Job,
    Part,
    PerLength,
    PerStick,
    PerWeight,
    Saw,
    Source,
    Stick,
    Substitute,
)
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from shared.files.job import Format, read_job, write_job
from shared.files.job.money import WEIGHTS
from shared.sections import understand

LENGTHS = st.one_of(
    st.fractions(min_value=10, max_value=12_000, max_denominator=8),
    st.integers(640, 30_000).map(lambda n: Fraction(n * 127, 5 * 64)),
    st.integers(100, 120_000).map(lambda n: Fraction(n, 10)),
)
NAMES = st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=20)
SECTIONS = st.sampled_from(
    [
        understand("SHS 40x40x3", ""),
        understand("L 2x2x3/16", "galvanised"),
        understand("hat", ""),
        understand("hat", "zinc"),
    ]
)
CENTS = st.integers(0, 10**7).map(lambda cents: Decimal(cents).scaleb(-2))
PER_LENGTH = st.builds(PerLength, amount=CENTS, per=st.sampled_from([unit.mm for unit in Unit]))
PER_WEIGHT = st.builds(PerWeight, amount=CENTS, per=st.sampled_from(list(WEIGHTS.values())))
SHARES = st.builds(Discount, share=st.integers(0, 100).map(lambda percent: Decimal(percent) / 100))

RATES = st.integers(0, 10_000).map(lambda points: Decimal(points) / 10_000)
TAXES = st.builds(
    Tax,
    rate=RATES,
    on=st.sets(st.sampled_from(Charge), min_size=1).map(lambda on: tuple(each for each in Charge if each in on)),
)
CUTS = st.builds(YardCuts, charge=CENTS, free=st.integers(0, 9), allowance=LENGTHS)
YARDS = st.one_of(
    st.builds(
        Yard, name=st.just(""), delivery=CENTS, delivery_free_from=st.none() | CENTS, collecting=st.none() | CENTS
    ),
    st.builds(
        Yard, name=st.just(""), minimum=CENTS, tax=st.none() | TAXES, cuts=st.none() | CUTS, reserves=st.booleans()
    ),
)
KEEPING = st.builds(KeepValue, amount=CENTS, per=st.sampled_from([unit.mm for unit in Unit]), shortest=LENGTHS)
LOADS = st.one_of(
    st.integers(1, 10**6).map(lambda n: Fraction(n, 1000)),
    st.fractions(min_value=1, max_value=2000, max_denominator=999),
    st.integers(1, 5000).map(lambda pounds: pounds * WEIGHTS["lb"]),
)
OTHERS = [understand("SHS 40x40x4", ""), understand("L 2x2x3/16", "zinc"), understand("cap", "")]


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    kerf = draw(st.sampled_from([Fraction(0), Fraction("2.4"), Fraction(381, 160), Fraction(10, 3)]))
    trims = st.sampled_from([(Fraction(0), Fraction(0)), (Fraction(5), Fraction(0)), (Fraction(0), Fraction(8))])
    marks = draw(st.lists(NAMES, min_size=1, max_size=6, unique=True))
    parts = tuple(
        Part(
            mark=mark,
            section=draw(SECTIONS),
            length=draw(LENGTHS),
            quantity=draw(st.integers(1, 50)),
            note=draw(st.one_of(st.just(""), NAMES)),
            assembly=draw(st.one_of(st.just(""), NAMES)),
            substitutes=tuple(
                Substitute(section=section, remark=draw(st.one_of(st.just(""), NAMES)))
                for section in draw(st.lists(st.sampled_from(OTHERS), max_size=2, unique=True))
            ),
        )
        for mark in marks
    )
    names = draw(st.lists(NAMES, max_size=3, unique=True))
    steel = [understand("SHS 40x40x3", ""), understand("L 2x2x3/16", "galvanised")]
    sticks = [
        Stick(
            id=f"{source}{number}",
            section=section,
            length=draw(LENGTHS) + 20,
            source=source,
            price=None
            if source is Source.OWN
            else draw(st.one_of(st.builds(PerStick, amount=CENTS), PER_LENGTH, PER_WEIGHT))
            if source is Source.STICKS
            else draw(st.one_of(SHARES, PER_LENGTH)),
            available=draw(st.integers(1, 9)) if source is not Source.STICKS else draw(st.none() | st.integers(1, 9)),
            trims=draw(trims),
            usable=draw(st.none() | st.just(Fraction(29))),
            yard="" if source is Source.OWN or not names else names[number % len(names)],
        )
        for source in Source
        for number, section in enumerate(steel)
    ]
    unit = draw(st.sampled_from(Unit))
    return Job(
        parts=parts,
        sticks=tuple(replace(each, breaks=draw(breaks_of(each))) for each in sticks),
        saw=Saw(kerf=kerf, hold=draw(st.none() | LENGTHS)),
        unit=unit,
        title=draw(st.one_of(st.just(""), NAMES)),
        currency="USD",
        tolerance=draw(st.none() | st.tuples(LENGTHS, LENGTHS)),
        keep_from=draw(st.none() | LENGTHS),
        tape=draw(st.none() | st.just(Fraction(127, 80) if unit in {Unit.IN, Unit.FT} else Fraction(1, 2))),
        yards=tuple(replace(draw(YARDS), name=name) for name in names),
        carry=Carry(longest=draw(st.none() | LENGTHS), load=draw(st.none() | LOADS)),
        idle=draw(st.booleans()),
        kind_cost=draw(st.just(Decimal(0)) | CENTS),
        layout_cost=draw(st.just(Decimal(0)) | CENTS),
        keep_value=draw(st.none() | KEEPING),
    )


def breaks_of(stick: Stick) -> st.SearchStrategy[tuple[Break, ...]]:
    """Up to two breaks that get cheaper, where a line may have any."""
    if stick.source is not Source.STICKS or stick.available is not None or not isinstance(stick.price, PerStick):
        return st.just(())
    price = stick.price.amount
    if price < Decimal("0.02"):
        return st.just(())
    first = Break(least=2, price=PerStick(amount=price - Decimal("0.01")))
    return st.sampled_from([(), (first,), (first, Break(least=9, price=PerLength(amount=Decimal(0), per=Unit.FT.mm)))])


@settings(max_examples=60, deadline=None)
@given(jobs(), st.sampled_from(Format))
def test_a_job_is_written_and_read_back_the_same(job: Job, form: Format) -> None:
    again, problems = read_job(write_job(job, form), name=f"job.{form}")
    assert problems == ()
    assert again == job


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200), st.sampled_from(["job.toml", "job.json", "-"]))
def test_noise_is_refused_in_words(data: bytes, name: str) -> None:
    job, problems = read_job(data, name=name)
    assert job is None
    assert all(problem.message and problem.where for problem in problems)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=True) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=200, deadline=None)
@given(
    st.fixed_dictionaries(
        {"unit": st.sampled_from(["mm", "in"])},
        optional={
            "saw": st.fixed_dictionaries({"kerf": VALUES}),
            "parts": st.lists(
                st.fixed_dictionaries({"section": VALUES, "length": VALUES, "quantity": VALUES}), max_size=2
            ),
            "sticks": st.lists(
                st.fixed_dictionaries({"section": VALUES, "length": VALUES, "price": VALUES}), max_size=2
            ),
            "rack": VALUES,
            "tolerance": VALUES,
        },
    )
)
def test_wrong_values_of_any_shape_are_refused_in_words(table: dict[str, object]) -> None:
    job, problems = read_job(json.dumps(table).encode(), name="job.json")
    assert (job is None) == bool(problems)
    assert all(problem.message and problem.where for problem in problems)
