"""Latitude and longitude of the record (items 16 and 17, guide pp. 8-9, checked).

Packed degrees, minutes, seconds and hundredths: DDMMSSss and DDDMMSSss. The guide's own examples: 35271855 is
35 deg 27' 18.55" and 081055065 is 81 deg 5' 50.65". Longitudes carry no sign: they are west, but for the Pacific
territories that lie east. A defective pair is refused by name and the structure stays without a position: a
guess would put it somewhere it is not.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from inventory.vocabulary.record_1995.places import State, state_of

LATITUDE, LONGITUDE = "016", "017"
_WIDTH = {LATITUDE: 8, LONGITUDE: 9}
_NAME = {LATITUDE: "latitude", LONGITUDE: "longitude"}


class Position(NamedTuple):
    """Decimal degrees, west negative; both or neither. `accuracy_s` is the step of the seconds: 0.01, 1 or 60."""

    lat_deg: float | None = None
    lon_deg: float | None = None
    accuracy_s: float | None = None
    refusals: Mapping[str, str] = MappingProxyType({})


class _Packed(NamedTuple):
    degrees: int
    minutes: int
    hundredths: int

    @property
    def value(self) -> float:
        return self.degrees + self.minutes / 60 + self.hundredths / 360_000

    @property
    def is_sound(self) -> bool:
        return self.minutes < 60 and self.hundredths < 6000

    @property
    def words(self) -> str:
        return f"{self.degrees} deg {self.minutes} min {self.hundredths / 100:05.2f} s"


def _packed(digits: str) -> _Packed:
    return _Packed(int(digits[:-6]), int(digits[-6:-4]), int(digits[-4:]))


def is_absent(text: str) -> bool:
    """Blank or all zeros: the guide accepts zeros where the position is not known (p. 8)."""
    return not text.strip().strip("0")


def split_packed(item: str, text: str) -> tuple[_Packed | None, str]:
    """Split a packed coordinate, or return the sentence that says why it is none."""
    width, name = _WIDTH[item], _NAME[item]
    form = "DDMMSSss" if item == LATITUDE else "DDDMMSSss"
    if re.fullmatch(r"[+-]?\d+\.\d*", text):
        return None, f"a decimal point stands in the packed form {form}{_meant(text, width)}"
    if not text.isdecimal():
        return None, f"the {name} must be {width} digits, {form}"
    if len(text) > width or len(text) < width - 3:
        return None, f"the {name} has {len(text)} digits where {form} needs {width}"
    packed = _packed(text.zfill(width))
    most = 90 if item == LATITUDE else 180
    if packed.value > most:
        hint = " (a leading zero seems lost: left-justified)" if item == LONGITUDE and text.endswith("0") else ""
        return None, f"{packed.words} is beyond {most} degrees{hint}"
    if packed.minutes > 59:
        return None, f"{packed.words}: minutes must be below 60"
    if packed.hundredths > 5999:
        return None, f"{packed.words}: seconds must be below 60{_carried(packed, width)}"
    return packed, ""


def _carried(packed: _Packed, width: int) -> str:
    """What the digits would be, where exactly 60 seconds stand for the next whole minute."""
    if packed.hundredths != 6000 or packed.minutes == 59:
        return ""
    return f"; if the next whole minute was meant, it is {packed.degrees:0{width - 6}d}{packed.minutes + 1:02d}0000"


def _meant(text: str, width: int) -> str:
    """What the digits would be, where degrees, minutes and seconds with a decimal point were typed."""
    whole, _, fraction = text.partition(".")
    if width - 3 <= len(whole) <= width - 2:
        return (
            f"; if degrees, minutes and seconds were meant, it is {(whole.zfill(width - 2) + fraction + '00')[:width]}"
        )
    return f"; decimal degrees must be turned into the {width} digits first"


def read_position(latitude: str, longitude: str, state_code: str) -> Position:
    """Decode both coordinates and hold them against the State's box. Raw text in; see Position for what comes out."""
    state = state_of(state_code)
    if state and len(latitude) == 8 and len(longitude) == 9 and (latitude + longitude).isdecimal():
        # Nearly all are sound: what is whole and lies in its State needs no further look.
        position = _placed(_packed(latitude), _packed(longitude), state)
        if position.lat_deg is not None:
            return position
    return _read_doubtful(latitude.strip(), longitude.strip().removeprefix("-"), state)


def _read_doubtful(lat_text: str, lon_text: str, state: State | None) -> Position:
    if is_absent(lat_text) and is_absent(lon_text):
        return Position()
    for item, text, other in ((LATITUDE, lat_text, "longitude"), (LONGITUDE, lon_text, "latitude")):
        if is_absent(text):
            return Position(refusals={item: f"the {_NAME[item]} is missing while a {other} is given"})
    if len(lat_text.lstrip("0")) <= 2 and len(lon_text.lstrip("0")) <= 2:
        return Position(refusals={LATITUDE: "the pair looks like a placeholder, not a position"})
    lat, lat_refusal = split_packed(LATITUDE, lat_text)
    lon, lon_refusal = split_packed(LONGITUDE, lon_text)
    if lat is None or lon is None:
        if _are_swapped(lat_text, lon_text, state):
            sentence = "latitude and longitude stand in each other's column"
            return Position(refusals={LATITUDE: sentence, LONGITUDE: sentence})
        refusals = {LATITUDE: lat_refusal, LONGITUDE: lon_refusal}
        return Position(refusals={item: sentence for item, sentence in refusals.items() if sentence})
    return _placed(lat, lon, state)


def _placed(lat: _Packed, lon: _Packed, state: State | None) -> Position:
    east = state is not None and state.east_longitudes
    lon_deg = lon.value if east else -lon.value
    lat_deg = -lat.value if state is not None and state.north < 0 else lat.value
    if not (lat.is_sound and lon.is_sound):
        return Position()
    if state is not None and not state.contains(lat_deg, lon_deg):
        sentence = f"{lat.words} N, {lon.words} {'E' if east else 'W'} lies outside {state.name}"
        if state.contains(lon.value, -lat.value):
            sentence = "latitude and longitude stand in each other's column"
        refusals = {LATITUDE: sentence} if not state.south <= lat_deg <= state.north else {LONGITUDE: sentence}
        return Position(refusals=refusals)
    if lat.hundredths % 100 or lon.hundredths % 100:
        accuracy_s = 0.01
    else:
        accuracy_s = 1.0 if lat.hundredths or lon.hundredths else 60.0
    return Position(round(lat_deg, 7), round(lon_deg, 7), accuracy_s)


def _are_swapped(lat_text: str, lon_text: str, state: State | None) -> bool:
    lat, _ = split_packed(LATITUDE, lon_text)
    lon, _ = split_packed(LONGITUDE, lat_text)
    if lat is None or lon is None or state is None:
        return False
    return state.contains(lat.value, -lon.value)
