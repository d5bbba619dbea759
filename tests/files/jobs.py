"""Job files for the tests: the smallest one, and it with some lines changed."""

MINIMAL = """\
[floor]
outline = [["0", "0"], ["30 ft", "0"], ["30 ft", "36 ft"], ["0", "36 ft"]]
thickness = "5 in"

[edge]
depth = "20 in"
width = "12 in"

[[pads]]
at = [["15 ft", "9 ft"], ["15 ft", "27 ft"]]
size = "2.5 ft x 2.5 ft"
depth = "14 in"
"""


def minimal_with(old: str = "", new: str = "", more: str = "") -> str:
    """The smallest job with one text replaced and lines added at the end."""
    assert old in MINIMAL
    return (MINIMAL.replace(old, new, 1) if old else MINIMAL) + more


FULL = """\
[job]
name = "everything"
units = "US"
[place]
latitude = "1 deg"
longitude = "1 deg"
elevation = "1 ft"
time_zone = "UTC"
frost_depth = "1 ft"
groundwater_depth = "1 ft"
ground_snow = "1 psf"
street_side = "west"
address = "Mill lane 1"
washout = "lined pit"
[building]
enclosure = "open"
stories = 2
use = "x"
floor_covering = true
vehicles = true
wash_down = true
radon = true
electrode = true
steel_frame = true
[soil]
class = "GW"
allowable_bearing = "2000 psf"
subgrade_modulus = "150 pci"
pad_subgrade_modulus = "250 pci"
cbr = 5
elastic_modulus = "2 ksi"
spt_blows = 9
undrained_strength = "40 kPa"
unit_weight = "100 pcf"
friction = 0.4
notes = "x"
[floor]
outline = { from = ["0", "0"], to = ["30 ft", "36 ft"] }
thickness = "6 in"
block_outs = [{ from = ["5 ft", "5 ft"], to = ["6 ft", "6 ft"] }]
top_elevation = "9 ft"
base_parallel = false
live_load = "50 psf"
finish = "float"
[[floor.regions]]
within = { from = ["10 ft", "0"], to = ["20 ft", "9 ft"] }
thickness = "7 in"
[[floor.regions]]
within = { from = ["20 ft", "0"], to = ["30 ft", "9 ft"] }
thickness = "8 in"
[[floor.falls]]
slope = "1 %"
to = ["5 ft", "5 ft"]
[[floor.falls]]
slope = "2 %"
to = ["5 ft", "6 ft"]
within = { from = ["0", "0"], to = ["9 ft", "9 ft"] }
[[floor.wheels]]
name = "a"
load = "1 kip"
contact_pressure = "50 psi"
[[floor.wheels]]
name = "b"
load = "2 kip"
contact_pressure = "60 psi"
spacing = "5 ft"
within = { from = ["0", "0"], to = ["20 ft", "20 ft"] }
[edge]
depth = "30 in"
width = "14 in"
slope = "vertical"
top_above_grade = "9 in"
[[strips]]
line = [["0", "20 ft"], ["30 ft", "20 ft"]]
width = "16 in"
depth = "14 in"
[[strips]]
line = [["0", "25 ft"], ["30 ft", "25 ft"]]
width = "17 in"
depth = "15 in"
slope = "1:1"
name = "z"
[[strips]]
line = [["0", "30 ft"], ["30 ft", "30 ft"]]
width = "17 in"
depth = "15 in"
slope = "vertical"
[[pads]]
at = ["10 ft", "10 ft"]
diameter = "2 ft"
depth = "16 in"
[[pads]]
at = ["20 ft", "10 ft"]
size = "3 ft x 4 ft"
depth = "18 in"
slope = "2:1"
rotation = "30 deg"
outside_top = "4 in"
[[posts]]
on = "P1"
base = "6 in"
tributary = { size = "9 ft x 8 ft", roof_dead = "1 psf", roof_live = "1 psf", snow = "1 psf", wind_down = "1 psf", wind_uplift = "1 psf" }
[posts.anchor]
kind = "headed"
[[posts]]
on = "P2"
base = "7 in x 8 in"
rotation = "10 deg"
fixity = "fixed"
isolated = true
loads = { dead = "1 kip" }
[posts.anchor]
kind = "hooked"
diameter = "1 in"
embedment = "9 in"
steel_strength = "75 ksi"
rods_x = 2
rods_y = 3
spacing_x = "3 in"
spacing_y = "4 in"
head_area = "1 in2"
[[posts]]
at = ["20 ft", "20 ft"]
base = "7 in x 8 in"
tributary = { size = "4 ft x 5 ft" }
[[walls]]
line = [["0", "20 ft"], ["30 ft", "20 ft"]]
thickness = "6 in"
[[walls]]
name = "w"
line = [["0", "25 ft"], ["30 ft", "25 ft"]]
thickness = "8 in"
loads = { dead = "9 plf" }
[[pipes]]
kind = "gas"
run = ["3 ft", "3 ft"]
diameter = "1 in"
[[pipes]]
name = "p"
kind = "water"
run = ["4 ft", "3 ft"]
diameter = "2 in"
wrap = "foam"
wrap_thickness = "1 in"
depth = "9 in"
fall = "1 %"
rim = "1 in"
riser = false
[[embeds]]
kind = "sleeve"
line = ["3 ft", "3 ft"]
[[embeds]]
name = "e"
kind = "hold-down"
line = ["4 ft", "3 ft"]
diameter = "1 in"
embedment = "9 in"
projection = "2 in"
max_spacing = "5 ft"
wet_set = true
[base]
thickness = "5 in"
material = "gravel"
compaction = "90 %"
shrink_factor = 1.1
loose_density = "90 pcf"
[retarder]
thickness = "15 mil"
class = "B"
permeance = "0.1 perm"
roll = "10 ft x 90 ft"
lap = "7 in"
under_edge = false
[[insulation]]
place = "floor"
thickness = "1 in"
resistance = "R-5"
[[insulation]]
place = "edge"
thickness = "2 in"
resistance = "R-10"
width = "2 ft"
[mesh]
style = "A252"
roll = "5 ft x 150 ft"
lap = "9 in"
cover = "3 in"
chair_spacing = "3 ft"
cut_out = ["P1"]
[[bars]]
zone = "floor"
size = "No.5"
face = "top"
spacing = "1 ft"
[[bars]]
zone = "pads"
size = "No.4"
count = 3
length = "3 ft"
cover = "4 in"
lap = "20 in"
stock = ["20 ft", "40 ft"]
yield_strength = "40 ksi"
only = "P1"
[joints]
kind = "tooled"
max_spacing = "9 ft"
spacing_thicknesses = 24
max_aspect = 1.25
min_corner = "50 deg"
min_width_share = "40 %"
pinned = [{ x = "9 ft" }]
forbidden = [{ x = "8 ft" }]
depth = "1 in"
allow_tees = true
wider_by_steel = true
[mix]
strength = "4000 psi"
exposure = "F1"
w_cm = 0.4
air = "5 %"
aggregate_size = "1 in"
cement = "500 lb/yd3"
water = "200 lb/yd3"
aggregate = "3000 lb/yd3"
cement_type = "III"
slag = "10 %"
fly_ash = "10 %"
slump = "3 in"
fibre = "1 lb/yd3"
placing_temp = "70 degF"
water_temp = "50 degF"
aggregate_temp = "75 degF"
cement_temp = "120 degF"
aggregate_moisture = "3 %"
unit_weight = "140 pcf"
shrinkage = "0.05 %"
time_limit = "80 min"
[forms]
material = "steel"
board_thickness = "1 in"
board_height = "9 in"
stake_spacing = "2 ft"
stake_embedment = "1.5 ft"
stake_width = "1 in"
section_modulus = "0.9 in3"
second_moment = "1.1 in4"
shear_area = "1.5 in2"
yield_strength = "36 ksi"
kicker_embedment = "24 in"
hold_down = "80 lb"
[crew]
people = 4
finishers = 1
placing_rate = "9 yd3/h"
finishing_rate = "99 ft2/h"
saws = 2
saw_speed = "99 ft/h"
start = "05:00"
curing = "15:00"
vibrating_screed = true
[plant]
truck = "8 yd3"
trucks = 2
travel_out = "9 min"
travel_back = "8 min"
distance = "5 mi"
method = "buggy"
placing_rate = "9 yd3/h"
min_load = "3 yd3"
site_load_limit = "7 yd3"
reach = "20 ft"
sides = ["south", "east"]
[tolerances]
thickness_minus_single = "1/2 in"
thickness_minus_mean = "1/4 in"
form_settlement = "1/4 in"
square = "1/2 in"
level = "1/2 in"
unsupported_length = "5 ft"
[[decisions]]
clash = "a"
choice = "b"
[[decisions]]
clash = "c"
choice = "d"
by = "e"
on = 2026-01-01
"""
