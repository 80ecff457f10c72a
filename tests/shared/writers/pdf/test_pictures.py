"""The sheets as pictures: real pixels, as a printer would set them."""

import itertools
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from shared.view.issue import Issue, Paper
from shared.view.labels.bars import bar_labels
from shared.view.labels.parts import labels_of
from shared.view.labels.sizes import LABEL_SHEETS
from shared.view.labels.work import work_labels
from shared.view.sheet.cut_sheet import cut_sheet
from shared.view.work.sheet import work_cut_sheet
from shared.view.work.stock_take import stock_take
from shared.view.work.trace_list import trace_list
from shared.writers.pdf import cut_sheet_pages, cut_sheet_pdf, labels_pages, stock_take_pdf, trace_list_pdf
from tests.shared.writers.pdf import scenes
from tests.shared.writers.pdf.reading import boxes, greys, rendered
from tests.shared.writers.pdf.works import WORKS, rack

ISSUE = Issue(date=date(2026, 11, 25), revision="B")
DOTS = 60.0
WHITE = 255


def _plain(name: str, paper: Paper) -> bytes:
    return cut_sheet_pdf(cut_sheet(*scenes.ALL[name](), replace(ISSUE, paper=paper)))


def _held(name: str, paper: Paper) -> bytes:
    return cut_sheet_pdf(work_cut_sheet(WORKS[name](), replace(ISSUE, paper=paper)))


def _changed(name: str, paper: Paper) -> bytes:
    return cut_sheet_pdf(work_cut_sheet(WORKS[name](), replace(ISSUE, paper=paper), changed_only=True))


def _traced(name: str, paper: Paper) -> bytes:
    return trace_list_pdf(trace_list(WORKS[name](), replace(ISSUE, paper=paper)))


def _stock(_name: str, paper: Paper) -> bytes:
    return stock_take_pdf(stock_take(rack(), ISSUE.date, paper, title="T" * 120))


KINDS = {"plan": _plain, "work": _held, "changed": _changed, "trace": _traced, "stock": _stock}
PAPERS = [
    *(("plan", name, paper) for name, paper in scenes.ON_PAPER),
    *(("work", name, Paper.LETTER) for name in WORKS),
    *(("changed", name, Paper.LETTER) for name in ("given_up", "sixty", "long_names")),
    *(("work", name, Paper.A4) for name in ("midway", "mitred", "bundle", "long_names")),
    *(("trace", name, paper) for name in ("traced", "given_up", "long_names", "marked") for paper in Paper),
    *(("stock", "rack", paper) for paper in Paper),
]
"""Every kind of paper, with what is hardest to set on it."""


@cache
def pdf(kind: str, name: str, paper: Paper) -> bytes:
    return KINDS[kind](name, paper)


def mm(length: float, dots: float = DOTS) -> int:
    return round(length / 25.4 * dots)


@pytest.mark.parametrize(("kind", "name", "paper"), PAPERS)
def test_nothing_runs_into_the_margins(kind: str, name: str, paper: Paper) -> None:
    for page in rendered(pdf(kind, name, paper), DOTS):
        margin = mm(12)
        assert (page[:, :margin] == WHITE).all()
        assert (page[:, -margin:] == WHITE).all()
        assert (page[: mm(10)] == WHITE).all()
        assert (page[-mm(8) :] == WHITE).all()
        assert (page < WHITE / 2).any()


@pytest.mark.parametrize(("kind", "name", "paper"), PAPERS)
def test_no_two_texts_lie_on_each_other(kind: str, name: str, paper: Paper) -> None:
    found = list(boxes(pdf(kind, name, paper)))
    assert found
    for _, group in itertools.groupby(found, key=lambda entry: entry[0]):
        assert list(_meeting([(text, box) for _, text, box in group])) == []


def _meeting(texts: list[tuple[str, tuple[float, float, float, float]]]) -> Iterator[tuple[str, str]]:
    edges = np.array([box for _, box in texts])
    for index, (text, (left, bottom, right, top)) in enumerate(texts):
        later = edges[index + 1 :]
        wide = np.minimum(later[:, 2], right) - np.maximum(later[:, 0], left)
        high = np.minimum(later[:, 3], top) - np.maximum(later[:, 1], bottom)
        for other in np.flatnonzero((wide > 0.3) & (high > 0.3)):
            yield text, texts[index + 1 + int(other)][0]


def test_the_pages_are_those_of_the_pdf() -> None:
    view = cut_sheet(*scenes.mixed(), ISSUE)
    assert len(cut_sheet_pages(view, DOTS)) == len(list(rendered(cut_sheet_pdf(view), DOTS)))


@pytest.mark.parametrize("paper", list(Paper))
def test_paper_has_its_size(paper: Paper) -> None:
    wide, high = {Paper.A4: (210, 297), Paper.LETTER: (215.9, 279.4)}[paper]  # ISO 216; ANSI/ASME Y14.1
    for page in (*rendered(pdf("plan", "mixed", paper), DOTS), *rendered(pdf("stock", "rack", paper), DOTS)):
        assert abs(page.shape[1] - mm(wide)) <= 1
        assert abs(page.shape[0] - mm(high)) <= 1


LABELS = {
    "marks": lambda sheet: labels_of(*scenes.marks(), ISSUE, sheet),
    "watched": lambda sheet: labels_of(*scenes.watched(), ISSUE, sheet),
    "rack": lambda sheet: bar_labels(rack()[:20], ISSUE.date, sheet),
    "work": lambda sheet: work_labels(WORKS["midway"](), ISSUE, sheet),
    "long_names": lambda sheet: work_labels(WORKS["long_names"](), ISSUE, sheet),
}


@pytest.mark.parametrize("name", LABEL_SHEETS)
@pytest.mark.parametrize("scene", LABELS)
def test_no_label_is_clipped_or_runs_into_the_next(name: str, scene: str) -> None:
    sheet = LABEL_SHEETS[name]
    labels = LABELS[scene](sheet)
    inked = 0
    for picture in labels_pages(labels, DOTS):
        page = greys(picture)
        for row, column in itertools.product(range(sheet.rows), range(sheet.columns)):
            left, top = sheet.left + column * sheet.across, sheet.top + row * sheet.down
            label = page[mm(top) : mm(top + sheet.high), mm(left) : mm(left + sheet.wide)]
            edge = max(mm(min(3.5, sheet.high * 0.09)) // 2, 1)
            assert (label[:edge] == WHITE).all()
            assert (label[-edge:] == WHITE).all()
            assert (label[:, :edge] == WHITE).all()
            assert (label[:, -edge:] == WHITE).all()
            inked += bool((label < WHITE / 2).any())
    assert inked == len(labels.labels)


def test_sawn_sticks_are_printed_ticked_and_given_up_ones_crossed() -> None:
    """The same sheet with another state in its boxes: more ink for a tick than for none, and more still for a cross."""
    view = work_cut_sheet(WORKS["given_up"](), ISSUE)
    ink = {}
    for state in ("open", "sawn", "stopped"):
        ticked = tuple(
            replace(
                section,
                layouts=tuple(
                    replace(layout, sticks=tuple(replace(box, state=state) for box in layout.sticks))
                    for layout in section.layouts
                ),
            )
            for section in view.sections
        )
        pages = cut_sheet_pages(replace(view, sections=ticked), DOTS)
        ink[state] = sum(int((WHITE - greys(page)).sum()) for page in pages)
    assert ink["open"] < ink["sawn"] < ink["stopped"]
