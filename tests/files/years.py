"""The real hourly weather years that pvlib ships, written as weather files of our formats."""

from functools import cache
from pathlib import Path

import pandas as pd
import pvlib

DATA = Path(pvlib.__file__).parent / "data"
HEAD = """LOCATION,{name},-,-,TMY3,000000,{latitude},{longitude},{tz},{altitude}
DESIGN CONDITIONS,0
TYPICAL/EXTREME PERIODS,0
GROUND TEMPERATURES,0
HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0
COMMENTS 1,-
COMMENTS 2,-
DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31
"""


@cache
def tmy3(file: str = "723170TYA.CSV") -> tuple[pd.DataFrame, dict]:
    """One typical year: a frame by the hour and its station."""
    return pvlib.iotools.read_tmy3(DATA / file, map_variables=True, encoding="iso-8859-1")


@cache
def epw_text(file: str = "723170TYA.CSV") -> str:
    """The same year in the EnergyPlus form, hours 1 to 24 as both formats count them."""
    frame, station = tmy3(file)
    rows = []
    for number, (time, row) in enumerate(frame.iterrows()):
        begun = pd.Timestamp(2001, 1, 1) + pd.Timedelta(hours=number)
        cells = [time.year, begun.month, begun.day, begun.hour + 1, 60, "?9?9", row["temp_air"], row["temp_dew"], row["relative_humidity"],
                 100 * row["pressure"], 0, 0, 0, row["ghi"], row["dni"], row["dhi"], 999999, 999999, 999999, 9999, row["wind_direction"],
                 row["wind_speed"], row["TotCld (tenths)"], row["OpqCld (tenths)"], 10, 77777, 9, 999999999, 10, 0.1, 0, 88, 0, 999,
                 99]  # fmt: skip
        rows.append(",".join(str(cell) for cell in cells))
    head = HEAD.format(name=station["Name"].strip('"'), latitude=station["latitude"], longitude=station["longitude"], tz=station["TZ"],
                       altitude=station["altitude"])  # fmt: skip
    return head + "\n".join(rows) + "\n"
