"""The pour book, read back as a reader of PDF reads it."""

import io
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import pairwise

import pypdf
import pytest

from slabwright import __version__
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.site import Site
from slabwright.outputs.book import book_data, book_pdf, write_book
from slabwright.outputs.chapters import chapter, clean
from slabwright.outputs.sheet import Paper
from slabwright.outputs.typesetting import typeset_pdf
from slabwright.results.check import State
from slabwright.studies import clashes, forms, hold_points, joints, minimums, mix, shape, under_slab
from slabwright.studies.hold_points.papers import Receiver
from slabwright.study import Done, Inputs, Presentation, Result, Study, run_studies
from slabwright.units import Family
from tests.outputs.pictures import section_picture
from tests.outputs.plans import AFTER, ALL, EMPTY, FAILS, HOSTILE, LONG, MAP, NASTY, SHAPE, WAITS, plan


@cache
def reader(*studies: Study, family: Family = Family.US) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(book_pdf(plan(*studies, family=family))))


@cache
def text(*studies: Study, family: Family = Family.US) -> str:
    """All text with its spaces evened out."""
    pages = [page.extract_text() for page in reader(*studies, family=family).pages]
    return re.sub(r"\s+", " ", " ".join(pages)).replace("\u200b", "")


def first_page(*studies: Study) -> str:
    return re.sub(r"\s+", " ", reader(*studies).pages[0].extract_text())


def test_the_first_page_answers_every_question() -> None:
    """Read standing up: each answer with its state in words, what to settle, whom to ask, how much to confirm."""
    page = first_page(*ALL)

    for outcome in plan().outcomes.values():
        assert outcome.state.value in page
    for expected in (
        "Brindlecote seed-and-tool store", "What is to be poured, and how much of it?", "Order 29 yd³, the last load held until measured",
        "3¼ yd³", "does not hold 3", "ask 1", "waiting 2", "near its limit 1", "holds 3", "Settle what does not hold: page",
        "Questions to ask first: the engineer 1, the building department 1, the electrician 1.", "Confirm 3 values", "Waits for",
    ):  # fmt: skip
        assert expected in page, expected


def test_answers_stand_in_the_order_of_the_work() -> None:
    page = first_page(*ALL)
    places = [page.index(clean(outcome.study.question)[:24]) for outcome in plan().outcomes.values()]

    assert sorted(places) == places


def test_questions_and_assumptions_come_before_the_chapters() -> None:
    whole = text(*ALL)

    assert whole.index("Ask these first.") < whole.index("Confirm what the job file does not state.") < whole.index("Bearing under the pad")
    assert "Is the pad under the gable post to be tied to the edge?" in whole
    assert "2,000 psf for silty sand" in whole
    assert "soil.allowable_bearing" in whole


def test_a_chapter_shows_checks_with_state_clause_and_remedy() -> None:
    whole = text(*ALL)

    for expected in (
        "1,536 psf", "2,000 psf", "0.77", "pad P1, pad P2; governed by D + S", "0.95 ±10 %", "Invented Code 7 table 4.2",
        "To make it hold: widen the pad to 3 ft", "method: derived: load over area", "1.004",
    ):  # fmt: skip
        assert expected in whole, expected


def test_a_chapter_shows_quantities_tasks_tables_and_cautions() -> None:
    whole = text(*ALL)

    for expected in (
        "Concrete to order", "29 yd³", "8.6 %: over-dig, bulge, pump",
        "132 ft", "24 bars", "Shoot the base on a 6 ft grid", "two days before",
        "Caution. An open cut deeper than 5 ft caves in", "side (in)", "load (kip)", "Sides are those of the underside.",
    ):  # fmt: skip
        assert expected in whole, expected


def test_the_appendix_works_every_check_out() -> None:
    """Formula in symbols, with its values and units, and its result; alike checks once."""
    whole = text(*ALL).partition("Every check worked out.")[2]

    assert "= (9,600 lb)/(6.25 ft²)" in whole
    assert "= 1,536 psf" in whole
    assert 1 == whole.count("pad P1, pad P2")
    for number in range(60):
        assert f"pad Q{number}:" in whole


def test_the_appendix_names_every_source_with_its_basis() -> None:
    whole = text(*ALL).partition("Where the figures come from.")[2]

    assert "Invented Code for Slabs, seventh edition, 2031" in whole
    assert "table 4.2 [text seen]" in whole
    assert "8.4.2 [from memory]" in whole


def test_every_page_says_what_it_belongs_to() -> None:
    pages = reader(*ALL).pages

    for number, page in enumerate(pages, start=1):
        foot = re.sub(r"\s+", " ", page.extract_text())
        assert f"page {number} of {len(pages)}" in foot
        for expected in ("job file 4f1c9a0b77de", f"slabwright {__version__}", "ASCE 7-22, ACI 318-19, IRC/IBC", "licensed engineer"):
            assert expected in foot


def test_long_tables_break_across_pages_with_their_heads() -> None:
    heads = [page.extract_text() for page in reader(LONG).pages if re.search(r"post\s*x\s*y\s*number", page.extract_text())]

    assert len(heads) >= 2
    assert all(f"Q{number}" in text(LONG) for number in range(60))


def test_checks_that_do_not_hold_are_never_summed_up() -> None:
    """Of many checks of one name the closest are shown and the rest counted; one that fails is always shown."""
    data = chapter(plan(LONG).outcomes["posts"], Family.US, 500.0)

    assert 10 == len(data["checks"])
    assert ["Bearing under the pad: 50 more hold, with ratios from 0.48 to 0.68; the appendix works them all."] == data["more"]


def test_the_drawings_are_in_it_with_words_for_who_cannot_see_them() -> None:
    data = chapter(plan(SHAPE).outcomes["shape"], Family.US, 504.0)

    assert ["Plan of the slab", "Section through the edge", "Section through a pad"] == [
        one["title"] for row in data["pictures"] for one in row
    ]
    assert all(one["alt"] and one["svg"].startswith("<svg") and one["width"] <= 504 for row in data["pictures"] for one in row)
    assert all("in = 1 ft" in one["scale"] or "in = 20 ft" in one["scale"] for row in data["pictures"] for one in row)


def test_numbered_pictures_of_one_kind_stand_side_by_side() -> None:
    def show(inputs: Inputs, done: Done, result: Result) -> Presentation:
        keys = ("layout", "option-1", "option-2", "option-3", "other-4")
        return Presentation(pictures=tuple(replace(section_picture(), key=key, title=key) for key in keys))

    made = plan(replace(EMPTY, present=show))

    rows = chapter(made.outcomes["nothing"], Family.US, 504.0)["pictures"]
    assert [["layout"], ["option-1", "option-2"], ["option-3"], ["other-4"]] == [[one["title"] for one in row] for row in rows]
    assert rows[1][0]["width"] <= 244


def test_the_book_is_tagged_and_named() -> None:
    """ISO 14289-1 (PDF/UA-1): structure tree, marked content, language, title, alternative text of figures."""
    book = reader(*ALL)
    root = book.trailer["/Root"]

    assert bool(root["/MarkInfo"]["/Marked"])
    assert "en-US" == root["/Lang"]
    assert "Pour book: Brindlecote seed-and-tool store" == book.metadata.title
    alts = _alternative_texts(root["/StructTreeRoot"])
    assert any("Plan of an L-shaped floor" in alt for alt in alts)
    assert b"pdfuaid" in root["/Metadata"].get_data()


def _alternative_texts(node: object) -> list[str]:
    found: list[str] = []
    stack = [node]
    while stack:
        here = stack.pop()
        here = here.get_object() if hasattr(here, "get_object") else here
        if isinstance(here, list):
            stack += here
        elif isinstance(here, dict):
            if "/Alt" in here:
                found.append(str(here["/Alt"]))
            if "/K" in here:
                stack.append(here["/K"])
    return found


def test_questions_are_bookmarks() -> None:
    titles = [entry.title for entry in reader(SHAPE, FAILS).outline if not isinstance(entry, list)]

    assert "What is to be poured, and how much of it?" in titles
    assert "Every check worked out." in titles


@pytest.mark.parametrize(("family", "points"), [(Family.US, (612, 792)), (Family.SI, (595.28, 841.89))])
def test_letter_for_us_jobs_and_a4_for_others(family: Family, points: tuple[float, float]) -> None:
    box = reader(SHAPE, family=family).pages[0].mediabox

    assert pytest.approx(points, abs=0.01) == (float(box.width), float(box.height))


def test_paper_can_be_chosen() -> None:
    box = pypdf.PdfReader(io.BytesIO(book_pdf(plan(EMPTY), paper=Paper.A4))).pages[0].mediabox

    assert pytest.approx(595.28, abs=0.01) == float(box.width)


def test_si_jobs_read_in_si() -> None:
    whole = text(SHAPE, family=Family.SI)

    assert "73.54 kPa" in whole
    assert "side (mm)" in whole
    assert "9 April 2031" in whole


def test_no_text_is_ever_markup() -> None:
    """Names that would be commands elsewhere are printed as they are."""
    whole = text(NASTY)

    for expected in (
        '<script>alert("x")</script> =cmd()|#set page(fill: red) *bold* $x$ \\u{1F600} & Sons',
        "=1+1",
        "+cmd",
        "=HYPERLINK(1)",
        "façade Żółć",
    ):
        assert expected in whole, expected


@pytest.mark.parametrize("name", ["日本語の床", "slab \U0001f600", "a\x00b\ud800c\x1b", "", "x" * 300, "مخزن", HOSTILE])
def test_any_name_makes_a_book(name: str) -> None:
    assert len(pypdf.PdfReader(io.BytesIO(book_pdf(plan(EMPTY, name=name)))).pages) >= 2


def test_text_stays_within_its_page() -> None:
    """Every run of text begins inside the margins, in a book of hostile and long text too."""
    for page in reader(*ALL).pages:
        places: list[tuple[float, float]] = []

        def note(words: str, cm: list[float], tm: list[float], *_: object, places: list[tuple[float, float]] = places) -> None:
            if words.strip():
                places.append((tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]))

        page.extract_text(visitor_text=note)
        assert places
        assert all(0 <= x <= 612 - 40 and 0 <= y <= 792 for x, y in places)


def test_a_plan_of_nothing_but_waiting_is_a_book_all_the_same() -> None:
    whole = text(WAITS, AFTER)

    assert "waiting 2" in whole
    assert "Every check worked out." not in whole


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert book_pdf(plan(SHAPE, MAP)) == book_pdf(plan(SHAPE, MAP))


def test_the_day_of_the_book_is_the_day_of_the_plan() -> None:
    dated, undated = book_data(plan(EMPTY, today=date(2031, 4, 9))), book_data(plan(EMPTY, today=None))

    assert ([2031, 4, 9], None) == (dated["date"], undated["date"])
    assert "not dated" in undated["subtitle"]


def test_a_study_without_pictures_or_checks_is_only_its_answer() -> None:
    data = chapter(plan(EMPTY).outcomes["nothing"], Family.US, 500.0)

    assert State.HOLDS.value == data["state"]
    assert not any(data[part] for part in ("pictures", "checks", "tables", "lines", "tasks", "asks", "assumptions", "cautions"))


def test_words_too_long_for_a_column_may_break() -> None:
    assert "\u200b" in clean("x" * 60)
    assert "plain words" == clean("plain words")
    assert "tolerances.\u200bthickness_\u200bminus_\u200bsingle" == clean("tolerances.thickness_minus_single")


def test_the_book_is_written_whole(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = write_book(plan(EMPTY), tmp_path / "book.pdf")

    assert path.read_bytes().startswith(b"%PDF")
    assert [path] == list(tmp_path.iterdir())


def test_writers_are_loaded_only_when_something_is_written() -> None:
    program = "import sys, slabwright.outputs.book, slabwright.outputs.workbook, slabwright.outputs.plan_sheet; "
    program += "print([name for name in ('typst', 'xlsxwriter', 'numpy', 'shapely', 'font_source_sans_pro') if name in sys.modules])"
    printed = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True, timeout=60).stdout

    assert "[]" == printed.strip()


@cache
def whole_store() -> dict:
    """The book of an example with the studies that sheets are read from."""
    studies = (shape.STUDY, clashes.STUDY, minimums.STUDY, joints.STUDY, under_slab.STUDY, forms.STUDY, mix.STUDY, hold_points.STUDY)
    job = parse_job(example_text("store"), "store").job
    return book_data(run_studies(studies, Inputs(job=job, site=Site(today=date(2026, 4, 13)))))


@cache
def store_pages() -> tuple[str, ...]:
    pdf = pypdf.PdfReader(io.BytesIO(typeset_pdf("book.typ", {"book.json": whole_store()})))
    return tuple(re.sub(r"\s+", " ", page.extract_text()) for page in pdf.pages)


def test_clashes_that_nobody_has_decided_stand_at_the_top() -> None:
    """Before the first answer, each with who has the last word."""
    first = store_pages()[0]

    assert whole_store()["undecided"]
    for title, who in whole_store()["undecided"]:
        assert f"{title}. Last word: {who}." in first
        assert first.index(title) < first.index("What exactly is being cast?")


def test_the_book_binds_one_sheet_for_each_person() -> None:
    """Each begins a page of its own, that page stands on the first one, and a sheet of one page takes one."""
    opens = {
        receiver.value: number
        for receiver in Receiver
        for number, page in enumerate(store_pages(), 1)
        if f"For the {receiver.value} " in page
    }

    assert {receiver.value for receiver in Receiver} == set(opens)
    assert all(f"{who} {number}" in store_pages()[0] for who, number in opens.items())
    for sheet, after in pairwise(whole_store()["sheets"]):
        if sheet["one_page"]:
            assert opens[sheet["who"]] + 1 == opens[after["who"]]


def test_every_page_says_the_day_and_the_editions() -> None:
    for page in store_pages():
        for word in ("April 13, 2026", f"slabwright {__version__}", "ACI 318-19"):
            assert word in page
