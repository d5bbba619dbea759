"""Weather files of every format, on files only, and what is said of bad ones."""

import json
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pvlib
import pytest

from slabwright.errors import InputError, MissingInput
from slabwright.files.weatherfile import parse_weather, read_weather
from slabwright.files.weatherfile.fetch import forecast_address
from slabwright.model.ground import Place
from slabwright.model.weather import Hours, Weather, WeatherKind
from slabwright.standards.wmo_8 import dew_point_c
from tests.files.years import epw_text, tmy3

PLACE = Place(latitude_deg=37.2, longitude_deg=-91.6, time_zone="America/Chicago")
DAY_TABLE = "hour,air (degF),rh (%),wind (mph),concrete (degF)\n7,48,80,2,58\n10,55,65,4,60\n13,63,50,7,64\n16,66,45,8,68\n19,58,60,5,66\n"


def table(rows, heading="time,air (degC),rh (%),wind (m/s)"):
    return heading + "\n" + "\n".join(",".join(str(cell) for cell in row) for row in rows) + "\n"


def two_days(air=lambda h: 15 + 6 * np.cos((h - 15) * np.pi / 12), rh=60, wind=3, zone="", start="2026-04-20 00:00", sun=None):
    """48 rows with a warm afternoon."""
    first = datetime.fromisoformat(start)
    extra = [] if sun is None else [sun]
    return [
        [f"{first + timedelta(hours=h):%Y-%m-%d %H:%M}{zone}", round(air(h), 2), rh, wind, *[round(f(h), 1) for f in extra]]
        for h in range(48)
    ]


def said(findings):
    return " ".join(str(finding) for finding in findings)


def test_a_builder_s_day_is_repeated_through_its_week():
    """Five hours of one day: 7:00 is 48 °F, 8:00 a third of the way to 55 °F, 1:00 half-way back; seven days from the day before."""
    weather, findings = parse_weather("weather.csv", DAY_TABLE, PLACE, day=date(2026, 4, 20))
    f = [1.8 * temp + 32 for temp in weather.hours.air_temp_c]

    assert WeatherKind.TYPICAL_DAY is weather.kind
    assert datetime(2026, 4, 19, 5, tzinfo=UTC) == weather.start.astimezone(UTC)
    assert pytest.approx((48.0, 48 + 7 / 3, 58.0)) == (f[31], f[32], f[43])
    assert pytest.approx(53.0) == f[25]
    assert f[7:31] == f[31:55]
    assert 7 * 24 == weather.hours.n_hours
    assert pytest.approx(2 * 0.44704) == weather.hours.wind_speed_m_s[7]
    assert 0.5 == weather.wind_height_m
    assert pytest.approx(dew_point_c(air_temp_c=(48 - 32) / 1.8, rel_humidity=0.8)) == weather.hours.dew_point_c[7]
    assert weather.hours.concrete_temp_c is not None
    assert pytest.approx((58 - 32) / 1.8) == weather.hours.concrete_temp_c[7]
    assert () == findings
    assert "5 hours of one day" in weather.statements[0]


def test_a_day_without_a_date_has_the_sun_of_the_equinox_and_says_so():
    """No date given."""
    weather, _ = parse_weather("weather.csv", DAY_TABLE, PLACE)

    assert "equinox" in weather.statements[0]


def test_an_energyplus_year_reads_as_an_independent_library_reads_it(tmp_path):
    """A real typical year: air, dew, wind, cloud equal to pvlib's reader, hour by hour; radiation the mean of its two hours."""
    (tmp_path / "year.epw").write_text(epw_text(), encoding="utf-8")
    frame, head = pvlib.iotools.read_epw(tmp_path / "year.epw", coerce_year=2001)
    weather, findings = read_weather(tmp_path / "year.epw", Place(latitude_deg=head["latitude"], longitude_deg=head["longitude"]))

    assert WeatherKind.TYPICAL_YEAR is weather.kind
    assert 8760 == weather.hours.n_hours
    assert np.allclose(frame["temp_air"], weather.hours.air_temp_c)
    assert np.allclose(frame["temp_dew"], weather.hours.dew_point_c)
    assert np.allclose(frame["wind_speed"], weather.hours.wind_speed_m_s)
    assert np.allclose(0.1 * frame["total_sky_cover"], weather.hours.cloud)
    ghi = frame["ghi"].to_numpy()
    assert np.allclose(0.5 * (ghi[:-1] + ghi[1:]), np.array(weather.hours.sun_w_m2)[:-1])
    assert -5.0 == weather.start.utcoffset().total_seconds() / 3600
    assert () == findings


def sunny_rows(zone):
    """Ten summer days of the real year, local standard time, labelled with a zone."""
    frame, station = tmy3()
    rows = [
        [f"2001-{time - timedelta(minutes=30):%m-%d %H:%M}{zone}", row["temp_air"], row["relative_humidity"], row["wind_speed"], row["ghi"]]
        for time, row in frame.iloc[4000:4240].iterrows()
    ]
    place = Place(latitude_deg=station["latitude"], longitude_deg=station["longitude"])
    return table(rows, "time,air (degC),rh (%),wind at 10 m (m/s),sun (W/m2)"), place


def test_the_sun_of_a_real_year_tells_when_its_clock_is_wrong():
    """Five hours out because local times were labelled universal: moved back and said. Right labels pass; three hours out are refused."""
    right, nothing = parse_weather("right.csv", *sunny_rows("-05:00"))
    mixed, findings = parse_weather("mixed.csv", *sunny_rows("Z"))

    assert () == nothing
    assert 10.0 == right.wind_height_m
    assert "local and universal time were mixed. Shifted by 5 h" in said(findings)
    assert right.start == mixed.start
    with pytest.raises(InputError, match=r"by its sun the file is [23]\.\d h behind"):
        parse_weather("wrong.csv", *sunny_rows("-02:00"))


def gridpoint():
    def layer(uom, *values):
        return {"uom": f"wmoUnit:{uom}", "values": [{"validTime": time, "value": value} for time, value in values]}

    return {
        "properties": {
            "updateTime": "2026-04-20T05:12:00+00:00",
            "temperature": layer("degC", ("2026-04-20T06:00:00+00:00/PT2H", 10), ("2026-04-20T08:00:00+00:00/PT22H", 14)),
            "dewpoint": layer("degC", ("2026-04-20T06:00:00+00:00/P1D", 5)),
            "windSpeed": layer("km_h-1", ("2026-04-20T06:00:00+00:00/P1DT6H", 18)),
            "skyCover": layer("percent", ("2026-04-20T06:00:00+00:00/PT3H", 25)),
            "probabilityOfPrecipitation": layer("percent", ("2026-04-20T09:00:00+00:00/PT1H", 40)),
            "quantitativePrecipitation": layer("mm", ("2026-04-20T12:00:00+00:00/PT6H", 6)),
        }
    }


def test_gridpoint_layers_hold_for_their_validity_and_sums_are_shared_out():
    """10 °C for two hours then 14; 18 km/h is 5 m/s; 6 mm over six hours is 1 mm an hour; cloud stays where its layer ends."""
    weather, findings = parse_weather("grid.json", json.dumps(gridpoint()), PLACE)

    assert datetime(2026, 4, 20, 6, tzinfo=UTC) == weather.start.astimezone(UTC)
    assert 24 == weather.hours.n_hours
    assert [10, 10, 14] == list(weather.hours.air_temp_c[:3])
    assert pytest.approx(5.0) == weather.hours.wind_speed_m_s[20]
    assert [0.25, 0.25] == [weather.hours.cloud[2], weather.hours.cloud[20]]
    assert pytest.approx(0.001) == weather.hours.rain_m[6]
    assert 0.0 == weather.hours.rain_m[12]
    assert weather.hours.rain_chance is not None and 0.4 == weather.hours.rain_chance[3]
    assert datetime(2026, 4, 20, 5, 12, tzinfo=UTC) == weather.issued
    assert -5 == weather.start.utcoffset().total_seconds() / 3600
    assert () == findings


def test_hourly_periods_in_the_units_of_the_country():
    """°F, "5 to 10 mph" as its higher end, words of the sky, humidity where the dew point is missing."""
    period = {
        "temperature": 68, "temperatureUnit": "F", "windSpeed": "5 to 10 mph",
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 50},
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": None}, "shortForecast": "Mostly Cloudy then Rain",
    }  # fmt: skip
    times = [f"2026-04-20T{hour:02d}:00:00-05:00" for hour in range(6, 20)]
    weather, _ = parse_weather("hourly.json", json.dumps({"properties": {"periods": [{**period, "startTime": t} for t in times]}}), PLACE)

    assert pytest.approx((20.0, 9.2552, 10 * 0.44704, 0.75), abs=0.01) == (
        weather.hours.air_temp_c[0], weather.hours.dew_point_c[0], weather.hours.wind_speed_m_s[0], weather.hours.cloud[0],
    )  # fmt: skip
    assert 6 == weather.start.hour


def open_meteo(**more):
    times = [f"2026-04-20T{hour:02d}:00" for hour in range(24)]
    hourly = {
        "time": times, "temperature_2m": [50.0] * 23 + [None], "relative_humidity_2m": [60] * 24, "wind_speed_10m": [10.0] * 24,
        "cloud_cover": [100] * 24, "precipitation": [0.0] * 24, **more,
    }  # fmt: skip
    units = {"temperature_2m": "°F", "relative_humidity_2m": "%", "wind_speed_10m": "mp/h", "cloud_cover": "%", "precipitation": "mm"}
    units |= {key: units[key.partition("_member")[0]] for key in more}
    return {"utc_offset_seconds": -18000, "hourly": hourly, "hourly_units": units}


def test_an_open_forecast_with_its_ensemble():
    """Units as it names them, local times by its offset, members that share what they do not have; a tail without air cut off."""
    document = open_meteo(temperature_2m_member01=[59.0] * 24, temperature_2m_member02=[41.0] * 24)
    weather, _ = parse_weather("open.json", json.dumps(document), PLACE)

    assert datetime(2026, 4, 20, 5, tzinfo=UTC) == weather.start.astimezone(UTC)
    assert 23 == weather.hours.n_hours
    assert pytest.approx((10.0, 15.0, 5.0)) == tuple(one.air_temp_c[3] for one in (weather.hours, *weather.members))
    assert weather.members[0].wind_speed_m_s == weather.hours.wind_speed_m_s
    assert pytest.approx(10 * 0.44704) == weather.hours.wind_speed_m_s[0]


def test_short_gaps_are_bridged_and_said_and_long_ones_stop():
    """A missing hour is a straight line; four hours are not."""
    rows = two_days()
    weather, findings = parse_weather("gap.csv", table(rows[:10] + rows[11:]), PLACE)
    with pytest.raises(InputError, match=r"nothing from 2026-04-20 09:00 to 2026-04-20 14:00, 5 hours.*Supply"):
        parse_weather("gap.csv", table(rows[:10] + rows[14:]), PLACE)
    rows[20][1] = ""
    holed, told = parse_weather("hole.csv", table(rows), PLACE)

    assert pytest.approx(0.5 * (rows[9][1] + rows[11][1])) == weather.hours.air_temp_c[10]
    assert "1 gaps of up to 2 hours" in said(findings)
    assert pytest.approx(0.5 * (rows[19][1] + rows[21][1])) == holed.hours.air_temp_c[20]
    assert "1 missing hours bridged" in said(told)


def test_fahrenheit_under_a_celsius_heading_is_taken_as_fahrenheit_when_certain():
    """92 "°C" does not occur; 52 is only doubted."""
    hot = two_days(air=lambda h: 80 + 12 * np.cos((h - 15) * np.pi / 12))
    doubtful = two_days(air=lambda h: 46 + 6 * np.cos((h - 15) * np.pi / 12))
    weather, findings = parse_weather("hot.csv", table(hot), PLACE)
    same, told = parse_weather("doubt.csv", table(doubtful), PLACE)

    assert pytest.approx((92 - 32) / 1.8, abs=0.01) == max(weather.hours.air_temp_c)
    assert "taken as °F" in said(findings)
    assert "taken as °F" in " ".join(weather.statements)
    assert 52.0 == max(same.hours.air_temp_c)
    assert "never falls below 40 °C; if the file is in °F" in said(told)


def test_miles_an_hour_under_a_metric_heading_are_named():
    """A median of 18 m/s for two days is a storm: said, not changed."""
    weather, findings = parse_weather("windy.csv", table(two_days(wind=18)), PLACE)

    assert "a storm; if the file is in mph" in said(findings)
    assert 18.0 == weather.hours.wind_speed_m_s[0]
    with pytest.raises(InputError, match="which does not occur; check its unit"):
        parse_weather("windy.csv", table(two_days(wind=80)), PLACE)


def test_humidity_as_a_fraction_where_per_cent_is_written_and_the_reverse():
    """0.6 % of humidity does not exist; a fraction of 60 does not either. Both put right and said."""
    low, findings = parse_weather("rh.csv", table(two_days(rh=0.6)), PLACE)
    bare, told = parse_weather("rh.csv", table(two_days(rh=60), "time,air (degC),rh,wind (m/s)"), PLACE)
    right, nothing = parse_weather("rh.csv", table(two_days(rh=60)), PLACE)

    assert "Taken as a fraction" in said(findings)
    assert "divided by 100" in said(told)
    assert "humidity" not in said(nothing)
    assert low.hours.dew_point_c == pytest.approx(right.hours.dew_point_c)
    assert bare.hours.dew_point_c == pytest.approx(right.hours.dew_point_c)


def test_clocks_that_step_back_or_differ_are_refused():
    """Joined files, or some times with a zone and some without."""
    rows = two_days()
    with pytest.raises(InputError, match=r"clock steps back. Are local and universal time mixed.*\(line 12\)"):
        parse_weather("mixed.csv", table(rows[:10] + rows[5:]), PLACE)
    rows[30][0] += "Z"
    with pytest.raises(InputError, match=r"some times have a zone and some have none.*\(line 32\)"):
        parse_weather("mixed.csv", table(rows), PLACE)


def test_a_warm_midnight_is_named():
    """Without a sun column the warmest hour tells: universal time read as local."""
    _, findings = parse_weather("utc.csv", table(two_days(air=lambda h: 15 + 6 * np.cos((h - 22) * np.pi / 12))), PLACE)

    assert "warmest hour is 22:00; if the file is in universal time" in said(findings)


def test_local_times_follow_the_clock_s_change():
    """In the night the clock is set back 01:00 occurs twice; hours stay an hour apart."""
    rows = two_days(start="2026-10-31 20:00")
    local = []
    moment = datetime(2026, 11, 1, 1, tzinfo=UTC)
    for row in rows:
        local.append([f"{moment.astimezone(ZoneInfo('America/Chicago')):%Y-%m-%d %H:%M}", 15, *row[2:]])
        moment += timedelta(hours=1)
    weather, _ = parse_weather("autumn.csv", table(local), PLACE)

    assert 48 == weather.hours.n_hours
    assert timedelta(hours=47) == weather.end.astimezone(UTC) - weather.start.astimezone(UTC)
    assert pytest.approx(10.0) == weather.hour_of(weather.at(10.0))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "is empty"),
        ("time,air,rh (%),wind (m/s)\n2026-04-20 07:00,10,50,3\n", "needs its unit in the heading"),
        ("air (degC),rh (%),wind (m/s)\n10,50,3\n", "no column gives the time"),
        (table([["2026-04-20 07:00", "ten", 50, 3]] * 2), '"ten" is no number'),
        (table([["yesterday", 10, 50, 3]] * 2), '"yesterday" is no time'),
        (table(two_days(), "time,air (degC),rain (mm),wind (m/s)").replace(",60,", ",900,"), "mm in an hour"),
        (table([[*row[:2], row[3]] for row in two_days()], "time,air (degC),wind (m/s)"), "humidity: is missing"),
        (table([[*row, 30] for row in two_days()], "time,air (degC),rh (%),wind (m/s),dew point (degC)"), "above the air temperature"),
        (table([[*row, 2000] for row in two_days()], "time,air (degC),rh (%),wind (m/s),sun (W/m2)"), "more than arrives outside the air"),
        (table([[*row, 8] for row in two_days()], "time,air (degC),rh (%),wind (m/s),cloud"), "cloud: runs from 8 to 8"),
        (table([[*row, 8] for row in two_days()], "time,air (degC),rh (%),wind (m/s),cloud (bits)"), "no unit of a share"),
        (table(two_days()[:1]), "fewer than two hours"),
        ("hour,air (degC),rh (%),wind (m/s)\n7,10,50,3\n6,11,50,3\n8,12,50,3\n", "rising hours within 24"),
        (table(two_days(air=lambda h: 200.0)), "which does not occur; check its unit"),
        ("{broken", "no JSON"),
        ('{"a": 1}', "no forecast known here"),
        (json.dumps(open_meteo()).replace("mp/h", "furlongs"), "unit .furlongs., which is not known"),
        (json.dumps({"properties": {"periods": [{"temperature": 5}]}}), "needs startTime and temperature"),
        ("LOCATION,x,-,-,-,0,1,2\n" + "x\n" * 10, "needs ten fields"),
        (epw_text()[:3000] + "\n1,2\n", "no row of this format"),
    ],
)
def test_what_cannot_be_weather_is_refused_with_its_reason(text, message):
    """Named, with the place and what would do."""
    with pytest.raises(InputError, match=message):
        parse_weather("bad.csv", text, PLACE)


def test_a_table_with_a_strange_column_is_used_without_it():
    """And says so."""
    _, findings = parse_weather(
        "more.csv", table([[*row, 1013] for row in two_days()], "time,air (degC),rh (%),wind (m/s),pressure (hPa)"), PLACE
    )

    assert "passed over" in said(findings)


def test_a_file_that_is_no_text_says_so(tmp_path):
    """Such as a workbook."""
    (tmp_path / "w.xlsx").write_bytes(b"PK\x03\x04\xff\xfe\x00")

    with pytest.raises(InputError, match="is no text; save the forecast as CSV"):
        read_weather(tmp_path / "w.xlsx")


def test_weather_refuses_columns_that_do_not_match():
    """Length, zone, ensemble."""
    one = Hours(air_temp_c=(1.0,), dew_point_c=(0.0,), wind_speed_m_s=(1.0,), cloud=(0.0,))
    two = Hours(air_temp_c=(1.0,) * 2, dew_point_c=(0.0,) * 2, wind_speed_m_s=(1.0,) * 2, cloud=(0.0,) * 2)
    now = datetime(2026, 4, 20, tzinfo=UTC)
    with pytest.raises(ValueError, match="of one length"):
        Hours(air_temp_c=(1.0,), dew_point_c=(0.0, 1.0), wind_speed_m_s=(1.0,), cloud=(0.0,))
    with pytest.raises(ValueError, match="with its zone"):
        Weather(kind=WeatherKind.RECORD, start=datetime(2026, 4, 20), hours=one)
    with pytest.raises(ValueError, match="as many hours"):
        Weather(kind=WeatherKind.RECORD, start=now, hours=one, members=(two,))
    assert Weather(kind=WeatherKind.RECORD, start=now, hours=one).digest != Weather(kind=WeatherKind.RECORD, start=now, hours=two).digest


def test_the_address_of_a_forecast_names_the_place_and_nothing_else():
    """No request is made here; a place without coordinates cannot be asked for."""
    assert "latitude=37.2000&longitude=-91.6000" in forecast_address(PLACE)
    with pytest.raises(MissingInput, match="latitude and longitude"):
        forecast_address(Place())
