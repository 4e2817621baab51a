"""Vehicles of a State for tests, as the office types them."""

from datetime import date

TYPED = {
    "key": "ST-4",
    "name": "State four-axle truck",
    "vehicle_class": "legal",
    "sign_class": "single_unit",
    "axles": "14, 16, 17, 17",
    "spacings": "10, 4, 4",
    "gross_kip": "64",
    "lane_klf": "",
    "lane_moment_kip": "",
    "lane_shear_kip": "",
    "source": "State code, section 39-12 (invented)",
    "in_use_from": "2020-01-01",
    "note": "",
}


def vehicle_values(**changed) -> dict:
    """The same as the action takes it."""
    values = {name: value for name, value in TYPED.items() if name not in ("axles", "spacings")} | {
        "axles_kip": [14.0, 16.0, 17.0, 17.0],
        "spacings_ft": [[10.0, 10.0], [4.0, 4.0], [4.0, 4.0]],
        "gross_kip": 64.0,
        "lane_klf": None,
        "lane_moment_kip": None,
        "lane_shear_kip": None,
        "relieving_axles_dropped": False,
        "in_use_from": date(2020, 1, 1),
    }
    return values | changed
