"""States: codes of item 1 (guide p. 1, checked) and the box each State lies in.

Boxes: computed once from the outlines of the US Census Bureau's cartographic boundary files, 2017 edition (1:10
million, as redistributed in TopoJSON), rounded outwards to a tenth of a degree with 0.02 degree to spare, because
those outlines stop at the shore and are simplified [computed]. Compared with a second, older set of State outlines:
the sides agree within 0.15 degree but for States whose water reaches far out (Great Lakes) and Hawaii's far islands.
As in RFC 7946, a box whose west side is greater than its east side crosses the antimeridian (Alaska).
"""

from dataclasses import dataclass

from .code_list import listed


@dataclass(frozen=True)
class State:
    """`region` is the third digit of the State code in old files; empty where the guide lists none."""

    code: str
    name: str
    region: str
    south: float
    west: float
    north: float
    east: float

    def contains(self, latitude: float, longitude: float) -> bool:
        """Whether a point in decimal degrees (west negative) lies in the State's box."""
        if not self.south <= latitude <= self.north:
            return False
        if self.west <= self.east:
            return self.west <= longitude <= self.east
        return longitude >= self.west or longitude <= self.east

    @property
    def east_longitudes(self) -> bool:
        """True for the Pacific territories whose longitudes are east of Greenwich; the record carries no sign."""
        return self.west > 0 and self.east > 0


_ROWS = (
    ("01", "Alabama", "4", 30.2, -88.5, 35.1, -84.8),
    ("02", "Alaska", "0", 51.2, 172.4, 71.4, -129.9),
    ("04", "Arizona", "9", 31.3, -114.9, 37.1, -109.0),
    ("05", "Arkansas", "6", 32.9, -94.7, 36.6, -89.6),
    ("06", "California", "9", 32.5, -124.5, 42.1, -114.1),
    ("08", "Colorado", "8", 36.9, -109.1, 41.1, -102.0),
    ("09", "Connecticut", "1", 40.9, -73.8, 42.1, -71.7),
    ("10", "Delaware", "3", 38.4, -75.9, 39.9, -75.0),
    ("11", "District of Columbia", "3", 38.7, -77.2, 39.1, -76.8),
    ("12", "Florida", "4", 24.4, -87.7, 31.1, -80.0),
    ("13", "Georgia", "4", 30.3, -85.7, 35.1, -80.8),
    ("15", "Hawaii", "9", 18.8, -160.3, 22.3, -154.7),
    ("16", "Idaho", "0", 41.9, -117.3, 49.1, -111.0),
    ("17", "Illinois", "5", 36.9, -91.6, 42.6, -87.4),
    ("18", "Indiana", "5", 37.7, -88.2, 41.8, -84.7),
    ("19", "Iowa", "7", 40.3, -96.7, 43.6, -90.1),
    ("20", "Kansas", "7", 36.9, -102.1, 40.1, -94.5),
    ("21", "Kentucky", "4", 36.4, -89.6, 39.2, -81.9),
    ("22", "Louisiana", "6", 28.9, -94.1, 33.1, -88.7),
    ("23", "Maine", "1", 43.0, -71.2, 47.5, -66.9),
    ("24", "Maryland", "3", 37.8, -79.6, 39.8, -75.0),
    ("25", "Massachusetts", "1", 41.2, -73.6, 43.0, -69.9),
    ("26", "Michigan", "5", 41.6, -90.5, 48.4, -82.1),
    ("27", "Minnesota", "5", 43.4, -97.3, 49.5, -89.4),
    ("28", "Mississippi", "4", 30.1, -91.7, 35.1, -88.0),
    ("29", "Missouri", "7", 35.9, -95.8, 40.7, -89.0),
    ("30", "Montana", "8", 44.3, -116.1, 49.1, -104.0),
    ("31", "Nebraska", "7", 39.9, -104.1, 43.1, -95.2),
    ("32", "Nevada", "9", 34.9, -120.1, 42.1, -114.0),
    ("33", "New Hampshire", "1", 42.6, -72.6, 45.4, -70.6),
    ("34", "New Jersey", "2", 38.8, -75.6, 41.4, -73.8),
    ("35", "New Mexico", "6", 31.3, -109.1, 37.1, -102.9),
    ("36", "New York", "2", 40.4, -79.8, 45.1, -71.8),
    ("37", "North Carolina", "4", 33.7, -84.4, 36.7, -75.4),
    ("38", "North Dakota", "8", 45.9, -104.1, 49.1, -96.5),
    ("39", "Ohio", "5", 38.3, -84.9, 42.0, -80.5),
    ("40", "Oklahoma", "6", 33.5, -103.1, 37.1, -94.4),
    ("41", "Oregon", "0", 41.9, -124.7, 46.3, -116.4),
    ("42", "Pennsylvania", "3", 39.7, -80.6, 42.3, -74.6),
    ("44", "Rhode Island", "1", 41.1, -71.9, 42.1, -71.1),
    ("45", "South Carolina", "4", 32.0, -83.4, 35.3, -78.5),
    ("46", "South Dakota", "8", 42.4, -104.1, 46.0, -96.4),
    ("47", "Tennessee", "4", 34.9, -90.4, 36.7, -81.6),
    ("48", "Texas", "6", 25.8, -106.7, 36.6, -93.4),
    ("49", "Utah", "8", 36.9, -114.1, 42.1, -109.0),
    ("50", "Vermont", "1", 42.7, -73.5, 45.1, -71.4),
    ("51", "Virginia", "3", 36.5, -83.7, 39.5, -75.2),
    ("53", "Washington", "0", 45.5, -124.8, 49.1, -116.8),
    ("54", "West Virginia", "3", 37.1, -82.7, 40.7, -77.7),
    ("55", "Wisconsin", "5", 42.4, -93.0, 47.3, -86.8),
    ("56", "Wyoming", "8", 40.9, -111.1, 45.1, -104.0),
    ("60", "American Samoa", "", -14.4, -170.9, -14.1, -169.4),
    ("66", "Guam", "", 13.2, 144.6, 13.7, 145.0),
    ("69", "Northern Mariana Islands", "", 14.0, 145.1, 18.9, 146.2),
    ("72", "Puerto Rico", "1", 17.8, -68.0, 18.6, -65.2),
    ("78", "Virgin Islands", "", 17.6, -65.2, 18.5, -64.5),
)

STATES: dict[str, State] = {row[0]: State(*row) for row in _ROWS}

# The guide's own list ends with Puerto Rico; the other territories are census codes, met in later files.
LISTS = (
    listed(
        "001",
        "State",
        "1",
        {state.code: state.name for state in STATES.values() if state.region},
        later={state.code: state.name for state in STATES.values() if not state.region},
    ),
)


def state_of(code: str) -> State | None:
    """The State of a code of two digits, or of three with the region digit as the guide's page 1 has it.

    A third digit that is not the State's own region is no State: 021 is neither Alaska nor anything else.
    """
    if len(code) == 3:
        state = STATES.get(code[:2])
        return state if state and state.region == code[2] else None
    return STATES.get(code.zfill(2))
