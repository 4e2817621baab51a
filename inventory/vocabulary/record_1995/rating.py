"""Load rating and posting codes (guide pp. 42-55, checked; the methods added after 1995 keep their mark)."""

from .code_list import listed

# 32.4 metric tons is the whole MS18 (HS 20) vehicle (guide p. 43, checked): a rating factor of 1 on it.
MS18_METRIC_TON = 32.4
# Coded 000 where it carries less than this: "shall be closed" (guide p. 43, checked).
LEAST_METRIC_TON = 2.7
# 999 in the field of three digits: under so much fill that live load does not matter (guide p. 43, checked); in the
# yearly files also the largest number that fits.
CEILING_METRIC_TON = 99.9
# Below this a number under a factor method can only be the factor itself [derived: the least rating of note,
# 2.7 t, is a factor of 0.08, and a factor of 5 on MS18 would be 162 t, which the field cannot hold].
FACTOR_BELOW = 5.0
FACTOR_METHODS = frozenset("678DEF")
NO_RATING_METHOD = "5"

_METHODS = {
    "1": "load factor, tons",
    "2": "allowable stress, tons",
    "3": "load and resistance factor, tons",
    "4": "load test",
    "5": "no rating analysis performed",
}
_METHODS_LATER = {
    "0": "field evaluation and documented engineering judgment",
    "6": "load factor, as a factor on MS18 (HS 20)",
    "7": "allowable stress, as a factor on MS18 (HS 20)",
    "8": "load and resistance factor, as a factor on HL-93",
    "A": "assigned, load factor, tons",
    "B": "assigned, allowable stress, tons",
    "C": "assigned, load and resistance factor, tons",
    "D": "assigned, load factor, as a factor on MS18 (HS 20)",
    "E": "assigned, allowable stress, as a factor on MS18 (HS 20)",
    "F": "assigned, load and resistance factor, as a factor on HL-93",
}

LISTS = (
    listed("063", "Method of the operating rating", "42", _METHODS, later=_METHODS_LATER),
    listed("065", "Method of the inventory rating", "44", _METHODS, later=_METHODS_LATER),
    listed(
        "070",
        "Posting needed at the operating rating",
        "55",
        {
            "5": "none: at or above legal loads",
            "4": "0.1 to 9.9 percent below legal loads",
            "3": "10.0 to 19.9 percent below",
            "2": "20.0 to 29.9 percent below",
            "1": "30.0 to 39.9 percent below",
            "0": "more than 39.9 percent below",
        },
    ),
)
