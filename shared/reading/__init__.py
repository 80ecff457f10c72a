"""Read what people really paste: parts lists, price lists and rack lists, as text, tables or workbooks.

Everything is (value, problems): what was understood, and every question by line with the readings offered. Nothing is
guessed in silence and nothing is lost.
"""

from shared.reading.lists.answers import NOT_A_PART, answer_alike, asking_alike, chosen, lines_of, rewritten
from shared.reading.lists.echo import echo
from shared.reading.lists.job import job_of_lists, join_sections, list_job, part_of, place_in_yards, yards_named
from shared.reading.lists.offers import read_offers
from shared.reading.lists.parts import read_parts
from shared.reading.lists.wire import offers_table, parts_table
from shared.reading.values.result import (
    AlsoNeeded,
    Choice,
    Kind,
    LineRead,
    OfferList,
    OfferRead,
    PartRead,
    PartsList,
    Question,
)

__all__ = [
    "NOT_A_PART",
    "AlsoNeeded",
    "Choice",
    "Kind",
    "LineRead",
    "OfferList",
    "OfferRead",
    "PartRead",
    "PartsList",
    "Question",
    "answer_alike",
    "asking_alike",
    "chosen",
    "echo",
    "job_of_lists",
    "join_sections",
    "lines_of",
    "list_job",
    "offers_table",
    "part_of",
    "parts_table",
    "place_in_yards",
    "read_offers",
    "read_parts",
    "rewritten",
    "yards_named",
]
