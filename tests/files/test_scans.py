"""Scans from LAS, LAZ, PLY and XYZ: one surface written five ways; wrong axes, wrong units, torn files; nothing dropped unsaid."""

import struct

import laspy
import numpy as np
import pytest

from slabwright.errors import InputError
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.files.surveyfile import read_scan
from slabwright.files.surveyfile.clouds import cloud_blocks
from slabwright.units import FOOT_M

FLOOR_LEVEL_M = 100 * FOOT_M
PLY = b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nend_header\n1\n"


@pytest.fixture(scope="module")
def job():
    return parse_job(example_text("store"), "store").job


def base(x, y):
    """5 in. below the finished floor, waved by 6 mm."""
    return FLOOR_LEVEL_M - 0.127 + 0.006 * np.sin(x)


@pytest.fixture(scope="module")
def cloud():
    rng = np.random.default_rng(1)
    x, y = rng.uniform(0, 9.144, 150_000), rng.uniform(0, 10.973, 150_000)
    return np.column_stack([x, y, base(x, y) + rng.normal(0, 0.002, 150_000)])


def write_las(path, points, scale=0.0001):
    header = laspy.LasHeader(point_format=0, version="1.2")
    header.offsets, header.scales = points.min(axis=0), [scale] * 3
    las = laspy.LasData(header)
    las.x, las.y, las.z = points.T
    las.write(path)
    return path


def write_ply(path, points, form):
    head = f"ply\nformat {form} 1.0\ncomment made for a test\nelement vertex {len(points)}\n"
    head += "property float intensity\nproperty double x\nproperty double y\nproperty double z\nelement face 0\n"
    head += "property list uchar int vertex_indices\nend_header\n"
    if form == "ascii":
        body = "".join(f"0.5 {x:.5f} {y:.5f} {z:.5f}\n" for x, y, z in points).encode()
    else:
        mark = "<" if "little" in form else ">"
        record = np.zeros(len(points), dtype=[("i", mark + "f4"), ("x", mark + "f8"), ("y", mark + "f8"), ("z", mark + "f8")])
        record["x"], record["y"], record["z"] = points.T
        body = record.tobytes()
    path.write_bytes(head.encode() + body)
    return path


def write_xyz(path, points, separator=" "):
    path.write_text("# x y z\n" + "".join(separator.join(f"{value:.5f}" for value in row) + "\n" for row in points), encoding="ascii")
    return path


WRITERS = {
    "las": lambda path, points: write_las(path / "scan.las", points),
    "laz": lambda path, points: write_las(path / "scan.laz", points),
    "ply": lambda path, points: write_ply(path / "scan.ply", points, "binary_little_endian"),
    "ply-big": lambda path, points: write_ply(path / "big.ply", points, "binary_big_endian"),
    "ply-text": lambda path, points: write_ply(path / "text.ply", points, "ascii"),
    "xyz": lambda path, points: write_xyz(path / "scan.xyz", points),
    "xyz-comma": lambda path, points: write_xyz(path / "comma.xyz", points, ","),
}


@pytest.mark.parametrize("form", list(WRITERS))
def test_points_come_back_from_every_form(tmp_path, cloud, form):
    path = WRITERS[form](tmp_path, cloud)
    back = np.concatenate([np.column_stack(block) for block in cloud_blocks(path)])

    assert np.allclose(cloud, back, atol=6e-5)


@pytest.mark.parametrize("form", ["las", "laz", "ply", "xyz"])
def test_a_scan_becomes_shots_and_a_fine_surface(tmp_path, job, cloud, form):
    survey, told = read_scan(WRITERS[form](tmp_path, cloud), job)

    assert 500 < len(survey.shots) <= 2000
    error = [shot.level_m - (base(*shot.at) - FLOOR_LEVEL_M) for shot in survey.shots]
    assert np.abs(error).max() < 0.003
    assert abs(np.mean(error)) < 0.0002
    assert len(cloud) == survey.scan.n_points
    assert () == survey.rejected
    assert not any("not seen" in str(one) for one in told)


def test_shots_keep_clear_of_the_edge_and_the_pads(tmp_path, job, cloud):
    """The floor's own base begins where the sloped faces of edge and pads end: 12 + 15 in. from the form line."""
    survey, _ = read_scan(WRITERS["las"](tmp_path, cloud), job)
    places = np.array([shot.at for shot in survey.shots])
    clear = (12 + 15) * 0.0254 - 0.15

    assert places.min() > clear
    assert places[:, 0].max() < 9.144 - clear


def test_a_control_table_places_a_scan_in_feet_on_a_site_grid(tmp_path, job, cloud):
    turn = np.radians(40)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    moved = np.column_stack([(cloud[:, :2] @ matrix + [300, 500]) / FOOT_M, (cloud[:, 2] - FLOOR_LEVEL_M) / FOOT_M + 12.5])
    corners = {"A": (0, 0), "B": (9.144, 0), "C": (9.144, 10.9728)}
    rows = ["point,x (ft),y (ft),z (ft)"]
    for name, at in corners.items():
        east, north = (np.array(at) @ matrix + [300, 500]) / FOOT_M
        rows.append(f"{name},{east:.4f},{north:.4f},12.5")
    control = tmp_path / "control.csv"
    control.write_text("\n".join(rows), encoding="ascii")
    survey, _ = read_scan(write_las(tmp_path / "scan.las", moved), job, control=control)

    error = [shot.level_m - (base(*shot.at) - FLOOR_LEVEL_M) for shot in survey.shots]
    assert np.abs(error).max() < 0.003


def test_a_board_on_the_base_is_named_where_it_stood(tmp_path, job, cloud):
    points = cloud.copy()
    board = (np.abs(points[:, 0] - 4.0) < 0.2) & (np.abs(points[:, 1] - 5.0) < 0.15)
    points[board, 2] += 0.05
    survey, told = read_scan(write_las(tmp_path / "scan.las", points), job)

    (gone,) = survey.rejected
    assert np.hypot(gone.at[0] - 4.0, gone.at[1] - 5.0) < 0.15
    assert "proud of the base" in gone.reason
    assert any("proud of the base" in str(one) for one in told)
    assert any("points above the ground were not used" in str(one) for one in told)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda points: points[:, [0, 2, 1]], "y axis points up"),
        (lambda points: points[:, [2, 1, 0]], "x axis points up"),
        (lambda points: points / FOOT_M, "It would fit if its unit were feet"),
        (lambda points: points * 1000, "It would fit if its unit were millimetres"),
        (lambda points: points + np.array([500.0, 0.0, 0.0]), "does not lie on the floor"),
        (lambda points: points + np.array([0.0, 0.0, 30.0]), "far below or above the base; check the height of the finished floor"),
        (lambda points: points - np.array([0.0, 0.0, 0.33]), "below its design; check the height of the finished floor"),
        (lambda points: points + np.array([0.0, 0.0, 0.33]), "above its design; check the height of the finished floor"),
    ],
)
def test_a_scan_that_cannot_be_is_refused(tmp_path, job, cloud, change, says):
    with pytest.raises(InputError, match=says):
        read_scan(write_las(tmp_path / "scan.las", change(cloud), 0.001), job)


def _torn_ply(path, points):
    whole = write_ply(path, points, "binary_little_endian")
    whole.write_bytes(whole.read_bytes()[:-1000])


@pytest.mark.parametrize(
    ("name", "make", "says"),
    [
        ("scan.ply", lambda path, _: path.write_bytes(b"plx\n"), "is no PLY file"),
        ("scan.ply", _torn_ply, "points before its end"),
        (
            "scan.ply",
            lambda path, _: path.write_bytes(PLY.replace(b"float x", b"float u")),
            "have no x, y and z",
        ),
        (
            "scan.ply",
            lambda path, _: path.write_bytes(PLY.replace(b"ascii", b"odd")),
            "is none of ascii",
        ),
        ("scan.las", lambda path, _: path.write_bytes(b"LASF" + struct.pack("<I", 0) * 30), "is no whole LAS or LAZ file"),
        ("scan.laz", lambda path, _: path.write_bytes(b"nothing at all"), "is no whole LAS or LAZ file"),
        ("scan.xyz", lambda path, _: path.write_text("one two three\n"), "holds no line of three numbers"),
        ("scan.xyz", lambda path, _: path.write_text("1 2 3\n4 5 x\n"), "no number among its points"),
        ("scan.xyz", lambda path, _: path.write_text("1 2 3\n4 5\n"), "have not 3 numbers"),
        ("scan.e57", lambda path, _: path.write_text("x"), "is no scan this program reads"),
    ],
)
def test_a_torn_or_strange_file_is_refused(tmp_path, job, cloud, name, make, says):
    make(tmp_path / name, cloud)
    with pytest.raises(InputError, match=says):
        read_scan(tmp_path / name, job)
