"""Every mistake in a job file is told with its key path, its line, what was found and how to write it."""

import re

import pytest

from slabwright.errors import InputError
from slabwright.files.jobfile import parse_job
from tests.files.jobs import MINIMAL, minimal_with

POST = '[[posts]]\non = "P1"\nbase = "6 in"\n'


def told(text: str) -> list[str]:
    """The findings of a file that cannot be taken, as printed."""
    with pytest.raises(InputError) as caught:
        parse_job(text)
    return [str(finding) for finding in caught.value.findings]


def test_a_bare_number_says_which_units_would_do():
    """The sentence of the specification, word for word."""
    assert ['floor.thickness: "4" has no unit; write "4 in" or "100 mm" (line 3).'] == told(minimal_with('"5 in"', '"4"'))


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('"5 in"', "4", 'floor.thickness: 4 has no unit; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "4.5", 'floor.thickness: 4.5 has no unit; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', '"5 kip"', 'floor.thickness: "5 kip": "kip" is no unit of length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', '"five"', 'floor.thickness: "five" is no length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', '"-5 in"', 'floor.thickness: "-5 in" is negative; write it above nought, such as "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "0", 'floor.thickness: 0 is nought; write it above nought, such as "4 in" or "100 mm", or leave the line out (line 3).'),
        ('"5 in"', '"1e300 ft"', 'floor.thickness: "1e300 ft" is too large a number for a length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', '"1e999 ft"', 'floor.thickness: "1e999 ft" is too large a number for a length (line 3).'),
        ('"5 in"', '"3/0 in"', 'floor.thickness: "3/0 in" divides by nought; write a fraction such as 1/2 (line 3).'),
        ('"5 in"', "nan", 'floor.thickness: nan has no unit; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "inf", 'floor.thickness: inf has no unit; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "true", 'floor.thickness: true is no length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "[]", 'floor.thickness: a list is no length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "{}", 'floor.thickness: a table is no length; write "4 in" or "100 mm" (line 3).'),
        ('"5 in"', "2026-01-01", 'floor.thickness: 2026-01-01 is no length; write "4 in" or "100 mm" (line 3).'),
        ('["30 ft", "36 ft"]', '["30 ft", 36]', 'floor.outline[3][2]: 36 has no unit; write "30 ft" or "9.1 m" (line 2).'),
        ('["30 ft", "36 ft"]', '["30 ft"]', 'floor.outline[3]: a list is no point; write two lengths, such as ["30 ft", "0"] (line 2).'),
        ('["30 ft", "36 ft"]', '"here"', 'floor.outline[3]: "here" is no point; write two lengths, such as ["30 ft", "0"] (line 2).'),
        ('"2.5 ft x 2.5 ft"', '"2 ft x 2 ft x 2 ft"',
         'pads[1].size: "2 ft x 2 ft x 2 ft" is no size of two lengths; write "2.5 ft x 2.5 ft" or "750 mm x 750 mm" (line 11).'),
        ("depth = \"14 in\"", "depth = \"14 in\"\nslope = \"steep\"",
         'pads[1].slope: "steep" is no slope of a side; write "vertical", "45 deg" from the level, or "1:1", out before down, '
         "no flatter than 5:1 (line 13)."),
        ("[edge]", "[[edge]]", "edge: is a list, not a table; begin it with [edge] (line 5)."),
        ("[[pads]]", "[pads]", "pads: is a table; begin each entry with [[pads]] (line 9)."),
        ("width = ", "widht = ",
         'edge.widht: is no key of [edge]; did you mean "width"? It takes depth, width, slope, top_above_grade (line 7).'),
    ],
)  # fmt: skip
def test_each_mistake_is_told_in_place(old: str, new: str, message: str):
    """Where, what was found, what is allowed, how to write it, which line."""
    assert message in told(minimal_with(old, new))


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ("[job]\nname = 7\n", 'job.name: 7 is no text; write it between quotation marks, such as "Seed and tool store" (line 14).'),
        ('[job]\nunits = "Metric"\n', 'job.units: "Metric" is not one of "US", "SI" (line 14).'),
        ('[job]\nconcrete = "ACI 318"\n',
         'job.concrete: "ACI 318" is not one of "ACI 318-19", "EN 1992-1-1". Did you mean "ACI 318-19"? (line 14).'),
        ('[place]\nlatitude = "95 deg"\n',
         'place.latitude: "95 deg" is too much; at most 90 deg has a meaning here. Write "44.9 deg" or "-36.8 deg" (line 14).'),
        ('[place]\ntime_zone = "Mars/Olympus"\n',
         'place.time_zone: "Mars/Olympus" is no time zone; write one such as "America/Denver" or "Europe/Dublin" (line 14).'),
        ("[building]\nvehicles = \"yes\"\n",
         'building.vehicles: "yes" is neither; write true or false, without quotation marks (line 14).'),
        ("[building]\nstories = 1.5\n", "building.stories: 1.5 is no whole number; write 1 (line 14)."),
        ("[building]\nstories = 40\n", "building.stories: 40 is out of range; write a whole number from 1 to 10 (line 14)."),
        ('[mix]\nstrength = "3500 psi"\nair = 6\n', 'mix.air: 6 is more than 15 %; write "6 %" with its sign (line 15).'),
        ('[mix]\nstrength = "3500 psi"\nw_cm = nan\n', 'mix.w_cm: nan has no meaning here; write 0.45 (line 15).'),
        ('[mix]\nair = "6 %"\n', 'mix.strength: is missing; write strength = "3500 psi" (line 13).'),
        ('[crew]\nstart = "25:00"\n', 'crew.start: "25:00" is no time of day; write "06:30", from "00:00" to "23:59" (line 14).'),
        ('[prices]\nconcrete = 158\n', 'prices.concrete: 158 is no price; write "158 per yd3", "1.10 per ft2" or "38 each" (line 14).'),
        ('[prices.fees]\nshort_load = "much"\n',
         'prices.fees.short_load: "much" is no amount of money; write it as a number such as 95 or 1.75 (line 14).'),
        ('[[decisions]]\nclash = "a"\nchoice = "b"\non = "yesterday"\n',
         'decisions[1].on: "yesterday" is no date; write 2026-04-30 (line 16).'),
        ('[[bars]]\nzone = "edge"\nsize = "No.99"\ncount = 2\n',
         'bars[1].size: "No.99" is no bar that is made; write "No.4", "#13M", "H12", "N16" or "15M" (line 15).'),
        ('[mesh]\nstyle = "chicken wire"\n',
         'mesh.style: "chicken wire" is no mesh that is made; write "6x6-W2.9xW2.9", "A252" or "SL82" (line 14).'),
        ('[mesh]\nstyle = "0x0-W2.9xW2.9"\n', 'mesh.style: "0x0-W2.9xW2.9" has no meaning; write "6x6-W2.9xW2.9" (line 14).'),
        ('[soil]\nclass = "lava"\n', 'soil.class: "lava" is not one of "crystalline bedrock", "sedimentary rock", "foliated rock", "GW", '
         '"GP", "SW", "SP", "SM", "SC", "GM", "GC", "CL", "ML", "MH", "CH", "OL", "OH", "PT", "mud", "organic silt", "organic clay", '
         '"peat", "fill" (line 14).'),
        ('[[bars]]\nzone = "egde"\nsize = "No.4"\ncount = 2\n',
         'bars[1].zone: "egde" is not one of "edge", "pads", "strips", "floor", "re-entrant corners", "block-outs", "joint dowels", '
         '"ties". Did you mean "edge"? (line 14).'),
        ('[[bars]]\nzone = "edge"\nsize = "No.4"\n', "bars[1]: has neither count nor spacing; write count = 2 (line 13)."),
        ('[[bars]]\nzone = "edge"\nsize = "No.4"\ncount = 2\nspacing = "1 ft"\n',
         "bars[1].spacing: stands beside count; keep one of the two (line 17)."),
        ('[[bars]]\nzone = "pads"\nsize = "No.4"\ncount = 2\nonly = "P9"\n',
         'bars[1].only[1]: "P9" is no pad or strip of this job; there are P1, P2 (line 17).'),
        ('[mesh]\nstyle = "A252"\nsheet = "2.4 m x 4.8 m"\nroll = "2.4 m x 30 m"\n',
         "mesh.roll: stands beside sheet; keep one of the two (line 16)."),
        ('[prices]\n"steel.bars" = "0.9 per lb"\n"steel.bars.No.4.20ft" = "9.80 each"\n',
         'prices."steel.bars.No.4.20ft": is a part of steel.bars, which has a price too; price the whole or its parts (line 15).'),
        ('[mesh]\nstyle = "A252"\ncut_out = ["P2", "P9"]\n',
         'mesh.cut_out[2]: "P9" is no pad of this job; there are P1, P2 (line 15).'),
        (POST + 'loads = { dead = "-3 kip" }\n',
         'posts[1].loads.dead: "-3 kip" is negative; write it nought or above, such as "4.2 kip" or "18 kN" (line 16).'),
        (POST + 'loads = { wind_uplift = { down = "3 kip" } }\n',
         "posts[1].loads.wind_uplift.down: down is no part of a reaction; there are up, shear_x, shear_y, moment_x, moment_y (line 16)."),
        (POST + 'loads = { snwo = "3 kip" }\n',
         "posts[1].loads.snwo: snwo is no load case; there are dead, live, roof_live, snow, wind_down, wind_uplift, seismic (line 16)."),
        (POST + 'loads = "3 kip"\n',
         'posts[1].loads: "3 kip" is no table of loads; write { dead = "2.4 kip", snow = "6.1 kip" } (line 16).'),
        (POST + 'loads = { dead = "1 kip" }\ntributary = { size = "1 ft x 1 ft" }\n',
         "posts[1].tributary: stands beside loads; keep one of the two (line 17)."),
        ('[[posts]]\nbase = "6 in"\n',
         'posts[1]: has neither on, at nor grid; write on = "P1" for the pad it stands on, or at = ["15 ft", "9 ft"] (line 13).'),
        ('[[posts]]\non = "P7"\nbase = "6 in"\n', 'posts[1].on[1]: "P7" is no pad of this job; there are P1, P2 (line 14).'),
        ('[[posts]]\non = ["P1", "P2"]\nnames = ["C"]\nbase = "6 in"\n',
         "posts[1].names: holds 1 names for 2 positions; give one for each, or use name (line 15)."),
        ('[[walls]]\nline = [["0", "0"]]\nthickness = "6 in"\n', "walls[1].line: has 1 point; it takes at least 2 (line 14)."),
        ('[[floor.falls]]\nslope = "2:1"\nto = ["1 ft", "1 ft"]\n',
         'floor.falls[1].slope: "2:1" is no fall; write "1/8 in per ft", "1:80" or "1 %", not steeper than 1:4 (line 14).'),
        ('[joints]\npinned = [{ z = "1 ft" }]\n', 'joints.pinned[1]: takes either "x" or "y", such as { x = "10 ft" } (line 14).'),
        ('[[pads]]\ngrid = { x = ["1 ft"] }\nsize = "1 ft"\ndepth = "14 in"\n',
         'pads[2].grid: takes "x" and "y", each a list of lengths or { from, step, count }, such as '
         '{ x = { from = "2 ft", step = "12 ft", count = 11 }, y = ["2 ft", "62 ft"] } (line 14).'),
        ('[[pads]]\nname = "P1"\nat = ["5 ft", "9 ft"]\nsize = "1 ft"\ndepth = "14 in"\n',
         'pads[2].at: the name "P1" is taken already; give each its own (line 15).'),
    ],
)  # fmt: skip
def test_each_section_tells_its_mistakes(more: str, message: str):
    """One mistake of every kind that a section can hold."""
    (found,) = told(minimal_with(more=more))
    assert message == found


def test_an_unknown_table_is_told_with_those_there_are():
    """And with the nearest of them."""
    (weather,) = told(minimal_with(more="[weather]\nx = 1\n"))
    (pad,) = told(minimal_with("[[pads]]", "[[pad]]"))

    assert weather.startswith("weather: is no key of the file. It takes schema, job, place,")
    assert pad.startswith('pad: is no key of the file; did you mean "pads"? It takes schema, job, place,')


def test_all_mistakes_of_a_file_are_told_at_once_in_the_order_of_the_lines():
    """Mistakes of notation, of names and of the ground stand in one list."""
    text = minimal_with('"36 ft"], ["0", "36 ft"]]', '"36 ft"], ["0", "36 ft"]]\nfinsh = "broom"')
    text = text.replace('"20 in"', '"2 in"').replace('"12 in"', "12").replace('"27 ft"]]', '"270 ft"]]')
    findings = told(text + '[plant]\ntruck = 10\n\n[[bars]]\nsize = "No.4"\n')

    assert ["floor.finsh", "edge.width", "plant.truck", "bars[1]", "bars[1].zone"] == [one.partition(":")[0] for one in findings]
    assert sorted(findings, key=lambda one: int(re.findall(r"line (\d+)\)\.$", one)[0])) == findings


def test_sound_sections_are_checked_against_each_other_though_another_is_not():
    """A slip in the price list does not hide a pad in the neighbour's field."""
    text = minimal_with('["15 ft", "27 ft"]', '["15 ft", "270 ft"]', "[prices]\nconcrete = 158\n")

    assert ["pads[1].at[2]", "prices.concrete"] == [one.partition(":")[0] for one in told(text)]


def test_lines_that_are_no_toml_are_told_together_and_the_rest_is_still_read():
    """The commonest slip, a quantity without quotation marks, twice in one file."""
    text = minimal_with('thickness = "5 in"', "thickness = 5 in").replace('width = "12 in"', "width = 12 in") + "[plant]\ntruck = 10\n"
    thickness, width, truck = told(text)

    assert thickness.startswith("the file: thickness = 5 in cannot be read")
    assert thickness.endswith("write text and quantities between quotation marks (line 3).")
    assert width.endswith("(line 7).")
    assert truck.startswith("plant.truck")


def test_a_missing_floor_is_told_with_its_header():
    """An empty file is a file without a floor."""
    assert ["floor: is missing; begin it with [floor]."] == told("")


def test_a_newer_edition_of_the_file_asks_for_a_newer_program():
    """Nothing else of it is judged."""
    assert ["schema: 9 is newer than this program reads (1); bring the program up to date (line 1)."] == told("schema = 9\n" + MINIMAL)


def test_bytes_that_are_no_text_are_told_with_their_line(tmp_path):
    """A spreadsheet saved under the wrong name, say."""
    from slabwright.files.jobfile import read_job

    path = tmp_path / "job.toml"
    path.write_bytes(b'[floor]\nthickness = "\xff\xfe"\n')
    with pytest.raises(InputError, match=r"job\.toml: the file: is no UTF-8 text; save it as plain text in UTF-8 \(line 2\)"):
        read_job(path)


def test_warnings_come_with_the_job_and_name_the_doubtful_number():
    """Feet written for inches can be built, and are asked about."""
    loaded = parse_job(minimal_with('"5 in"', '"5 ft"').replace('"20 in"', '"6 ft"').replace('"14 in"', '"6 ft"'))

    (finding,) = loaded.findings
    assert finding.warning
    assert 'floor.thickness: "5 ft" is unusual; most lie from 3 in to 18 in. Check the number and its unit (line 3).' == str(finding)
