"""What stands: load it was designed for, status, service, material and design (guide pp. 16-35, checked)."""

from .code_list import listed

TIMBER = "7"
CULVERT = "19"
NO_APPROACH_SPANS = ("0", "00")

_MATERIALS = {
    "1": "concrete",
    "2": "concrete, continuous",
    "3": "steel",
    "4": "steel, continuous",
    "5": "prestressed concrete",
    "6": "prestressed concrete, continuous",
    "7": "wood or timber",
    "8": "masonry",
    "9": "aluminum, wrought iron or cast iron",
    "0": "other",
}
_DESIGNS = {
    "01": "slab",
    "02": "stringers, multi-beam or girder",
    "03": "girders and floorbeams",
    "04": "tee beams",
    "05": "box beams, several",
    "06": "box beams, single or spread",
    "07": "frame, not a frame culvert",
    "08": "orthotropic",
    "09": "deck truss",
    "10": "through truss",
    "11": "deck arch",
    "12": "through arch",
    "13": "suspension",
    "14": "stayed girder",
    "15": "lift bridge",
    "16": "bascule bridge",
    "17": "swing bridge",
    "18": "tunnel",
    "19": "culvert, with frame culverts",
    "21": "segmental box girder",
    "22": "channel beams",
    "00": "other",
}
_UNDER = {"H": "highway", "R": "railroad", "N": "neither highway nor railroad"}

LISTS = (
    listed(
        "031",
        "Design load",
        "16",
        {
            "1": "H 10 (M 9)",
            "2": "H 15 (M 13.5)",
            "3": "HS 15 (MS 13.5)",
            "4": "H 20 (M 18)",
            "5": "HS 20 (MS 18)",
            "6": "HS 20 and alternate military load",
            "7": "pedestrian",
            "8": "railroad",
            "9": "HS 25 (MS 22.5)",
            "0": "other or unknown",
        },
        later={"A": "HL-93", "B": "greater than HL-93", "C": "other"},
    ),
    listed(
        "037",
        "Historical significance",
        "21",
        {
            "1": "on the National Register",
            "2": "eligible for the National Register",
            "3": "possibly eligible, or on a State or local register",
            "4": "cannot be determined now",
            "5": "not eligible",
        },
    ),
    listed(
        "041",
        "Open, posted or closed",
        "23",
        {
            "A": "open, no restriction",
            "B": "open, posting recommended but not legally in place",
            "D": "open only because of temporary shoring or the like",
            "E": "open on a temporary structure, the original closed",
            "G": "new, not yet open",
            "K": "closed to all traffic",
            "P": "posted for load",
            "R": "posted for another restriction of load, such as speed or number of vehicles",
        },
    ),
    listed(
        "042A",
        "Service on the structure",
        "23",
        {
            "1": "highway",
            "2": "railroad",
            "3": "people on foot and bicycle",
            "4": "highway and railroad",
            "5": "highway and people on foot",
            "6": "overpass of an interchange or second level",
            "7": "third level",
            "8": "fourth level",
            "9": "building or plaza",
            "0": "other",
        },
    ),
    listed(
        "042B",
        "Service under the structure",
        "24",
        {
            "1": "highway, with or without people on foot",
            "2": "railroad",
            "3": "people on foot and bicycle",
            "4": "highway and railroad",
            "5": "waterway",
            "6": "highway and waterway",
            "7": "railroad and waterway",
            "8": "highway, waterway and railroad",
            "9": "relief for waterway",
            "0": "other",
        },
    ),
    listed("043A", "Material, main spans", "24", _MATERIALS),
    listed("043B", "Design, main spans", "25", _DESIGNS),
    listed("044A", "Material, approach spans", "24-25", _MATERIALS),
    # Code 20, mixed types, is for approach spans only; 000 for items 44A and 44B together means there are none.
    listed("044B", "Design, approach spans", "25", _DESIGNS | {"20": "mixed types"}),
    listed("054A", "Feature under the structure, vertical", "34", _UNDER),
    listed("055A", "Feature under the structure, lateral", "35", _UNDER),
)
