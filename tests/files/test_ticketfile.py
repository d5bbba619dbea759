"""Ticket files: sorted out and told, or refused with the line."""

from datetime import UTC, date, datetime

import pytest

from slabwright.errors import InputError
from slabwright.files.ticketfile import moment_on, parse_tickets
from slabwright.units import CUBIC_YARD_M3, INCH_M

DAY = date(2026, 4, 14)
HEAD = "ticket,volume (yd3),batched,arrived,started,ended,slump (in)\n"


def read(text, zone="America/Denver"):
    return parse_tickets(text, "tickets.csv", zone, DAY)


def test_a_plain_file_is_read_in_the_zone_of_the_job():
    """10 yd³ at 07:05 Denver summer time is 13:05 UTC."""
    tickets, told = read(HEAD + "1,10,07:05,07:35,07:40,08:05,4\n2,10,07:30,,,,\n")

    assert () == told
    assert datetime(2026, 4, 14, 13, 5, tzinfo=UTC) == tickets.loads[0].batched
    assert pytest.approx(10 * CUBIC_YARD_M3) == tickets.loads[0].volume_m3
    assert pytest.approx(4 * INCH_M) == tickets.loads[0].slump_m
    assert pytest.approx(10 * CUBIC_YARD_M3) == tickets.placed_m3
    assert pytest.approx(20 * CUBIC_YARD_M3) == tickets.called_m3


def test_disorder_and_duplicates_are_sorted_out_and_told():
    """The later line of a ticket is kept; loads are put in the order batched."""
    tickets, told = read(HEAD + "2,10,07:30,,,,\n1,10,07:05,,,,\n1,9,07:05,,,,\n")

    assert ["1", "2"] == [load.name for load in tickets.loads]
    assert pytest.approx(9 * CUBIC_YARD_M3) == tickets.loads[0].volume_m3
    assert any("twice" in finding.message for finding in told)
    assert any("order batched" in finding.message for finding in told)


def test_stamps_out_of_order_missing_and_of_two_zones_are_told():
    """Each with its ticket and line."""
    _, told = read(HEAD + "1,10,2026-04-14T13:05+00:00,07:35,07:30,,\n2,10,07:30,,,08:40,\n")
    messages = " ".join(str(finding) for finding in told)

    assert "started at 07:30 stands before arrived at 07:35" in messages
    assert "with and without a zone" in messages
    assert "arrived is missing" in messages
    assert "line 2" in messages


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("ticket,volume\n1,10 yd3\n", "column batched is missing"),
        (HEAD + "1,10,,,,,\n", "time batched is missing"),
        (HEAD + "1,ten,07:05,,,,\n", "no volume"),
        (HEAD + "1,0,07:05,,,,\n", "not above nought"),
        (HEAD + "1,10,7 o'clock,,,,\n", "is no time"),
        (HEAD + ",10,07:05,,,,\n", "no number"),
        (HEAD, "no ticket in the file"),
        ("ticket,volume,batched\n1,10,07:05\n", "has no unit"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_to_write(text, message):
    """All faults of a file at once."""
    with pytest.raises(InputError, match=message):
        read(text)


def test_an_unknown_zone_is_refused():
    """With an example."""
    with pytest.raises(InputError, match="no time zone"):
        read(HEAD + "1,10,07:05,,,,\n", zone="Mars/Base")


def test_a_time_typed_is_of_the_day_of_the_tickets():
    """09:40 means that day there."""
    tickets, _ = read(HEAD + "1,10,07:05,,,,\n")

    assert datetime(2026, 4, 14, 15, 40, tzinfo=UTC) == moment_on("9:40", tickets)
