"""The papers, read back as a reader of PDF reads them: one page where they say so, nothing missing, nothing of others."""

import io
import re
from datetime import date
from functools import cache

import pypdf
import pytest

from slabwright import __version__
from slabwright.files.examples import example_text
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
    ("receiver", "word"), [("saw operator", "Slump by stage"), ("ready-mix dispatcher", "chairs apart"), ("owner", "Trial cut")]
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
