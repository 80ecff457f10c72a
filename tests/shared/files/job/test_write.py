from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest

from cutting.question.job import PerLength
from shared.files.job import Format, job_schema, read_job, write_job
from shared.files.job.document import read_document

FIXTURES = Path(__file__).parents[4] / "fixtures"
JOBS = sorted(FIXTURES.rglob("*.toml")) + sorted(FIXTURES.rglob("*.json"))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.name)
@pytest.mark.parametrize("form", list(Format))
def test_every_fixture_is_written_and_read_back_the_same(path: Path, form: Format) -> None:
    job, problems = read_job(path.read_bytes(), name=path.name)
    assert job is not None, problems
    again, problems = read_job(write_job(job, form), name=f"job.{form}")
    assert problems == ()
    assert again == job


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.name)
def test_every_fixture_follows_the_schema(path: Path) -> None:
    table, _ = read_document(path.read_bytes(), name=path.name)
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(table, schema)


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    validator = jsonschema.Draft202012Validator(job_schema())
    good = {"unit": "mm", "saw": {"kerf": 2}, "parts": [{"section": "a", "length": "5", "quantity": 1}]}
    assert validator.is_valid(good)
    assert not validator.is_valid({**good, "colour": "red"})
    assert not validator.is_valid({**good, "unit": "inch"})
    assert not validator.is_valid({**good, "parts": []})
    assert not validator.is_valid({**good, "parts": [{"section": "a", "length": "5", "quantity": 0}]})
    assert not validator.is_valid({field: value for field, value in good.items() if field != "saw"})


def test_texts_with_quotes_and_letters_of_any_script() -> None:
    job, _ = read_job((FIXTURES / "market_stalls.toml").read_bytes(), name="job.toml")
    assert job is not None
    odd = replace(
        job, title='6\' 8" \\ "Stände" Θ Ж', parts=(replace(job.parts[0], note="a # b = [c]"), *job.parts[1:])
    )
    for form in Format:
        assert read_job(write_job(odd, form), name=f"job.{form}")[0] == odd


@pytest.mark.parametrize("form", list(Format))
def test_texts_with_any_character_are_read_back(form: Format) -> None:
    job, _ = read_job((FIXTURES / "two_yards.toml").read_bytes(), name="job.toml")
    assert job is not None
    every = "".join(map(chr, [*range(1, 0xA0), 0xAD, 0x2028, 0x2029, 0xFEFF, 0x1F6E0]))  # line breaks and U+007F too
    parts = tuple(
        replace(part, note=every, substitutes=tuple(replace(each, remark=every) for each in part.substitutes))
        for part in job.parts
    )
    odd = replace(job, title=f"first line\nsecond line\r\n{every}", parts=parts)
    again, problems = read_job(write_job(odd, form), name=f"job.{form}")
    assert problems == ()
    assert again is not None
    assert again == replace(odd, title=again.title, parts=again.parts)
    assert again.title.startswith('first line second line !"#')
    assert again.title.endswith("}~ \xad \ufeff\U0001f6e0")
    assert {len(part.note) for part in again.parts} == {len(again.title) - len("first line second line ")}
    assert [part.length for part in again.parts] == [part.length for part in odd.parts]


def test_a_price_basis_the_file_has_no_word_for_is_refused() -> None:
    job, _ = read_job((FIXTURES / "market_stalls.toml").read_bytes(), name="job.toml")
    assert job is not None
    odd = PerLength(amount=Decimal(1), per=Fraction(914))
    with pytest.raises(ValueError, match="914 mm"):
        write_job(replace(job, sticks=(replace(job.sticks[0], price=odd), *job.sticks[1:])))


def test_both_kayak_files_are_one_job() -> None:
    toml, json = ((FIXTURES / f"kayak_racks.{ending}").read_bytes() for ending in ("toml", "json"))
    assert read_job(toml, name="a.toml") == read_job(json, name="a.json")


@pytest.mark.parametrize("angle", ["22.123456", "22.5", "7.25", "44.9999"])
def test_angles_are_read_back_exactly(angle: str) -> None:
    job, problems = read_job(
        f"""unit = "mm"
saw = {{ kerf = 2, largest_angle = "{angle}" }}
[[parts]]
section = "SHS 40x40x3"
length = 500
quantity = 1
ends = ["{angle} from square", "0"]
measured = "long point"
""".encode()
    )
    assert job is not None, problems
    assert job.saw.largest == Fraction(angle)
    assert read_job(write_job(job)) == (job, ())
