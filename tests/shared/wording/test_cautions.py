"""Every caution that must be on paper, and where it comes from."""

from dataclasses import replace

import pytest

from shared.wording import cautions
from tests.shared.writers.pdf import scenes


@pytest.mark.parametrize(
    "word", ["guards", "eyes", "ears", "clamp", "short end", "gloves", "toothed", "hot", "sharp", "two people", "51 lb"]
)
def test_whoever_saws_is_told(word: str) -> None:
    job, _ = scenes.one_part()
    assert word in " ".join(cautions.at_the_saw(job)).lower()


@pytest.mark.parametrize("word", ["strength", "welds", "splices", "qualified person", "local rules"])
def test_the_summary_says_what_is_not_checked(word: str) -> None:
    job, _ = scenes.one_part()
    assert word in " ".join(cautions.on_the_summary(job)).lower()


def test_zinc_is_spoken_of_only_where_there_is_some() -> None:
    black, _ = scenes.one_part()
    coated, _ = scenes.watched()
    assert cautions.GALVANISED.text not in cautions.at_the_saw(black)
    assert cautions.GALVANISED.text in cautions.at_the_saw(coated)


def test_venting_is_spoken_of_only_where_there_is_a_hollow_section() -> None:
    hollow, _ = scenes.one_part()
    parts = tuple(replace(part, section=scenes.FLAT) for part in hollow.parts)
    assert any("Vent" in text for text in cautions.on_the_summary(hollow))
    assert not any("Vent" in text for text in cautions.on_the_summary(replace(hollow, parts=parts)))


def test_every_caution_says_where_it_comes_from() -> None:
    every = [*cautions.AT_THE_SAW, *cautions.ON_THE_SUMMARY, cautions.VENTS, cautions.SPARKS, cautions.GALVANISED]
    assert all(caution.source for caution in every)
