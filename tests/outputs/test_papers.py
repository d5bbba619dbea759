"""The papers, read back as a reader of PDF reads them: one page where they say so, nothing missing, nothing of others."""

import io
import math
import re
import tempfile
from dataclasses import dataclass
from datetime import date
from functools import cache

import pypdf
import pytest

from slabwright import __version__
from slabwright.app import load_job, plan_job
from slabwright.files.examples import example_text, write_example
from slabwright.files.jobfile import parse_job
from slabwright.model.site import Site
from slabwright.outputs.papers import papers_data, sheet_pdf, write_papers
from slabwright.outputs.sheet import Paper
from slabwright.studies import bearing, clashes, drawings, forms, hold_points, joints, lines, minimums, mix, shape, under_slab
from slabwright.studies.hold_points.papers import Receiver
from slabwright.study import Inputs, run_studies
from tests.outputs.plans import ALL
from tests.outputs.plans import plan as small_plan

STUDIES = (
    shape.STUDY, clashes.STUDY, drawings.STUDY, minimums.STUDY, bearing.STUDY, joints.STUDY, lines.STUDY, under_slab.STUDY, forms.STUDY,
    mix.STUDY, hold_points.STUDY,
)  # fmt: skip
NAMES = ("store", "dairy")
ONE_PAGE = [one.value for one in Receiver if one not in (Receiver.ENGINEER, Receiver.INSPECTOR)]


@cache
def plan(name):
    job = parse_job(example_text(name), name).job
    return run_studies(STUDIES, Inputs(job=job, site=Site(today=date(2026, 4, 13))))


@cache
def data(name):
    return papers_data(plan(name))


@cache
def reader(name, receiver):
    return pypdf.PdfReader(io.BytesIO(sheet_pdf(data(name)[receiver])))


def text(name, receiver):
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader(name, receiver).pages)).replace("\u200b", "")


@dataclass(frozen=True)
class Word:
    """Words of a sheet as they lie on the page: left and baseline in points from the lower left corner, size of the type in points."""

    words: str
    left: float
    base: float
    size: float


def words_of(pdf):
    """All words of all pages."""
    found = []

    def see(words, ctm, text, _font, size):
        if words.strip():
            left, base = text[4] * ctm[0] + text[5] * ctm[2] + ctm[4], text[4] * ctm[1] + text[5] * ctm[3] + ctm[5]
            scale = math.hypot(text[2] * ctm[0] + text[3] * ctm[2], text[2] * ctm[1] + text[3] * ctm[3])
            found.append(Word(words.strip(), left, base, abs(size) * scale))

    for page in pdf.pages:
        page.extract_text(visitor_text=see)
    return found


SMALLEST_POINTS = 6.0
"""The least height of type that is read at arm's length: footnotes of newspapers; common practice, no source."""


def assert_reads_well(pdf):
    """Every word within the paper's margins, none set smaller than can be read."""
    width, height = (float(side) for side in pdf.pages[0].mediabox[2:])
    for word in words_of(pdf):
        assert 30 <= word.left <= width - 36, word
        assert 18 <= word.base <= height - 24, word
        assert SMALLEST_POINTS <= word.size, word


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("receiver", [one.value for one in Receiver])
def test_nothing_is_clipped_and_everything_is_legible(name, receiver):
    assert words_of(reader(name, receiver))
    assert_reads_well(reader(name, receiver))


@pytest.mark.long
@pytest.mark.parametrize("name", ("store", "shelter", "station", "dairy"))
@pytest.mark.parametrize("paper", (Paper.LETTER, Paper.A4))
def test_every_sheet_of_every_example_on_either_paper(name, paper):
    """With everything that the whole plan says: one page where it says so, nothing clipped, legible."""
    for receiver, sheet in papers_data(whole_plan(name), paper=paper).items():
        pdf = pypdf.PdfReader(io.BytesIO(sheet_pdf(sheet)))
        if receiver in ONE_PAGE:
            assert 1 == len(pdf.pages), receiver
        assert_reads_well(pdf)
        if receiver == "engineer":
            assert not any("hole in the supply" in words for block in sheet["blocks"] for words in said_in(block))


@cache
def whole_plan(name):
    with tempfile.TemporaryDirectory() as folder:
        inputs, _ = load_job(write_example(folder, name), today=date(2026, 4, 13))
    return plan_job(inputs)


def said_in(block):
    """Every string of a block but its drawings."""
    if isinstance(block, str):
        yield block
    elif isinstance(block, dict):
        for key, value in block.items():
            if key not in ("svg", "imprint", "kind"):
                yield from said_in(value)
    elif isinstance(block, list):
        for value in block:
            yield from said_in(value)


OTHER_UNITS = {
    "store": r"[\d½¼¾⅛⅜⅝⅞] ?(mm|cm|m|m²|m³|kN|kPa|MPa|°C|L|kg)\b",
    "dairy": r"[\d½¼¾⅛⅜⅝⅞] ?(in|ft|ft²|ft³|yd³|lb|kip|psf|psi|plf|pcf|°F|gal|mph)\b|\b(in|ft|lb|psi|psf)\)|\d[′″]",
}


@pytest.mark.parametrize("name", NAMES)
def test_a_job_reads_in_its_own_units_everywhere(name):
    """No sentence, table head or figure of any sheet in the other family's units; names of rules keep theirs."""
    for sheet in data(name).values():
        for words in said_in(sheet["blocks"]):
            assert words.endswith("]") or not re.search(OTHER_UNITS[name], words), words


def test_every_receiver_has_a_sheet():
    assert {one.value for one in Receiver} == set(data("store"))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("receiver", ONE_PAGE)
def test_a_sheet_that_says_one_page_is_one_page(name, receiver):
    assert "One page." in data(name)[receiver]["purpose"]
    assert 1 == len(reader(name, receiver).pages)


@pytest.mark.parametrize(("name", "points"), [("store", (612, 792)), ("dairy", (595, 842))])
def test_letter_for_us_units_and_a4_for_metric_ones(name, points):
    box = reader(name, "owner").pages[0].mediabox

    assert points == (round(box.width), round(box.height))


@pytest.mark.parametrize("receiver", [one.value for one in Receiver])
def test_each_sheet_says_of_what_job_when_and_by_which_editions(receiver):
    job = plan("store").inputs.job
    said = text("store", receiver)

    for word in (f"For the {receiver}", job.name, job.digest[:12], "April 13, 2026", __version__, str(job.codes), "engineer"):
        assert word in said, word


@pytest.mark.parametrize(
    ("receiver", "words"),
    [
        ("engineer", ("Taken for granted", "Isolated posts against one pour", "Answer")),
        ("building inspector", ("The monolithic slab", "Pre-pour card", "no mud, water", "laps of the sheet", "Special inspection")),
        ("ready-mix dispatcher", ("3,500 psi", "90 min", "balance load", "Slump by stage")),
        ("crew lead", ("Go or no go", "Each load", "Each lane", "⅛ in to ¼ in", "power lines")),
        ("form setter", ("Setting out", "form tops", "stakes and kickers apart")),
        ("steel fixer", ("No.4", "chairs apart", "caps on every upright bar")),
        ("finisher", ("boot mark", "sheen", "trowel")),
        ("saw operator", ("Trial cut", "J1", "1¼ in", "respirator")),
        ("plumber and electrician", ("conduit for light", "face of wall west", "face of wall north")),
        ("owner", ("What is normal", "³⁄₁₆ in", "no salt")),
        ("frame crew", ("P1", "15", "⅝", "2,625 psi")),
    ],
)
def test_each_sheet_has_what_its_reader_needs(receiver, words):
    said = text("store", receiver)

    for word in words:
        assert word in said, word


@pytest.mark.parametrize(
    ("receiver", "word"),
    [
        ("saw operator", "Slump by stage"),
        ("ready-mix dispatcher", "chairs apart"),
        ("owner", "Trial cut"),
    ],
)
def test_no_sheet_has_what_its_reader_does_not_need(receiver, word):
    assert word not in text("store", receiver)


def test_only_a_pumped_job_warns_of_the_hose():
    assert "Hose whip" in text("dairy", "crew lead")
    assert "Hose whip" not in text("store", "crew lead")


@pytest.mark.parametrize(
    ("receiver", "word"),
    [
        ("form setter", "Cave-in"), ("plumber and electrician", "Buried services"), ("steel fixer", "Impalement"),
        ("finisher", "Wet concrete burns"), ("saw operator", "Dust"), ("crew lead", "Heat and cold"), ("form setter", "Form blow-out"),
    ],
)  # fmt: skip
def test_each_sheet_carries_its_cautions(receiver, word):
    assert f"Caution. {word}" in text("store", receiver)


def test_drawings_are_black_on_white():
    """Every colour of every drawing is a grey."""
    drawn = [
        size["svg"]
        for sheet in data("store").values()
        for block in sheet["blocks"]
        if block["kind"] == "picture"
        for size in block["sizes"]
    ]

    assert drawn
    for svg in drawn:
        assert all(red == green == blue for red, green, blue in re.findall(r"#([0-9A-F]{2})([0-9A-F]{2})([0-9A-F]{2})\b", svg))


def test_either_paper_can_be_asked_for():
    pdf = pypdf.PdfReader(io.BytesIO(sheet_pdf(papers_data(plan("store"), paper=Paper.A4)["owner"])))

    assert 595 == round(pdf.pages[0].mediabox.width)


def test_a_plan_without_these_studies_still_has_its_sheets(tmp_path):
    """What is not there is left out."""
    written = write_papers(small_plan(*ALL), tmp_path)

    assert {one.value for one in Receiver} == set(written)
    assert all(path.stat().st_size > 1000 for path in written.values())
