"""Who maintains and who owns (items 21 and 22, guide p. 12, checked: item 22 uses the list of item 21)."""

from .code_list import listed

COUNTY = "02"

_AGENCIES = {
    "01": "State highway agency",
    "02": "county highway agency",
    "03": "town or township highway agency",
    "04": "city or municipal highway agency",
    "11": "State park, forest or reservation agency",
    "12": "local park, forest or reservation agency",
    "21": "other State agency",
    "25": "other local agency",
    "26": "private, not a railroad",
    "27": "railroad",
    "31": "State toll authority",
    "32": "local toll authority",
    "60": "other Federal agency",
    "61": "tribal government",
    "62": "Bureau of Indian Affairs",
    "63": "fish and wildlife agency of the United States",
    "64": "US Forest Service",
    "66": "National Park Service",
    "67": "Tennessee Valley Authority",
    "68": "Bureau of Land Management",
    "69": "Bureau of Reclamation",
    "70": "Corps of Engineers, civil",
    "71": "Corps of Engineers, military",
    "72": "Air Force",
    "73": "Navy or Marines",
    "74": "Army",
    "75": "NASA",
    "76": "Metropolitan Washington airports",
    "80": "unknown",
}

LISTS = (
    listed("021", "Maintenance responsibility", "12", _AGENCIES),
    listed("022", "Owner", "12", _AGENCIES),
)
