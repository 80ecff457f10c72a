"""Any text is a section, or a question about one; a canonical name stands for itself."""

from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutting.question.errors import SectionError
from shared.sections import understand

WORDS = st.sampled_from(
    [
        "SHS",
        "tube",
        "sq",
        "rect",
        "round",
        "bar",
        "L",
        "angle",
        "C",
        "UPN",
        "pipe",
        "flat",
        "FB",
        "sch 40",
        "11 ga",
        "DN",
    ]
)
SIZES = st.sampled_from(
    ["1", "2", "3", "4.1", "40", "60", "100", "1/8", "3/16", "1-1/2", "1 1/4", ".125", "0.12", "½", "48,3", "12", "6"]
)
UNITS = st.sampled_from(["", "", "", " mm", '"', " in"])
CHAINS = st.lists(st.tuples(SIZES, UNITS).map("".join), min_size=1, max_size=4).map(" x ".join)
NAMES = st.one_of(st.tuples(WORDS, CHAINS), st.tuples(CHAINS, WORDS), st.tuples(WORDS, WORDS, CHAINS)).map(" ".join)


def check(name):
    try:
        section = understand(name)
    except SectionError as error:
        for choice in error.choices:
            assert understand(choice).name == choice
        return
    if section.family:
        again = understand(section.name, section.material)
        assert again == section
        assert section.mass is None or section.mass > 0
        assert section.surface is None or section.surface > 0
        assert all(side > 0 for side in section.sides)


@given(name=NAMES)
@settings(max_examples=400)
@example(name="SHS 0x0x0")
@example(name="L 0/1 x 3 x 0.")
def test_likely_names(name):
    check(name)


@given(name=st.text(max_size=60))
def test_noise(name):
    check(name)


@given(name=st.text(alphabet="0123456789/.,-x SHLCga½\"'m", max_size=30))
def test_near_noise(name):
    check(name)
