"""The road on the structure: route, toll, class, lanes, traffic features (guide pp. 2-21 and 67-72, checked)."""

from .code_list import listed

RECORD_ON = "1"
_SAFETY = {
    "0": "does not meet standards now acceptable, or is needed and absent",
    "1": "meets standards now acceptable",
    "N": "not applicable or not needed",
}

LISTS = (
    listed(
        "005A",
        "Record type",
        "2",
        {"1": "route on the structure", "2": "one route under the structure"}
        | {chr(n): f"route {n - 64} of several under the structure" for n in range(ord("A"), ord("Z") + 1)},
    ),
    listed(
        "005B",
        "Route signing",
        "3",
        {
            "1": "Interstate",
            "2": "US numbered highway",
            "3": "State highway",
            "4": "county highway",
            "5": "city street",
            "6": "Federal lands road",
            "7": "State lands road",
            "8": "other",
        },
    ),
    listed(
        "005C",
        "Level of service",
        "3",
        {
            "0": "none of these",
            "1": "mainline",
            "2": "alternate",
            "3": "bypass",
            "4": "spur",
            "6": "business",
            "7": "ramp, wye or connector",
            "8": "service or frontage road",
        },
    ),
    listed(
        "005E",
        "Direction of the route number",
        "4",
        {"0": "not applicable", "1": "north", "2": "east", "3": "south", "4": "west"},
    ),
    listed("012", "Base highway network", "7", {"0": "not on the network", "1": "on the network"}),
    listed(
        "020",
        "Toll",
        "11",
        {
            "1": "toll bridge",
            "2": "on a toll road",
            "3": "toll-free",
            "4": "Interstate toll segment under agreement",
            "5": "toll bridge under an agreement apart from the road's",
        },
    ),
    listed(
        "026",
        "Functional class",
        "13",
        {
            "01": "rural principal arterial, Interstate",
            "02": "rural principal arterial, other",
            "06": "rural minor arterial",
            "07": "rural major collector",
            "08": "rural minor collector",
            "09": "rural local",
            "11": "urban principal arterial, Interstate",
            "12": "urban principal arterial, other freeway or expressway",
            "14": "urban principal arterial, other",
            "16": "urban minor arterial",
            "17": "urban collector",
            "19": "urban local",
        },
    ),
    listed(
        "033",
        "Median",
        "18",
        {"0": "none", "1": "open", "2": "closed, no barrier", "3": "closed, barriers that cannot be mounted"},
    ),
    listed("035", "Flared", "19", {"0": "no", "1": "yes"}),
    listed("036A", "Bridge railings", "20", _SAFETY),
    listed("036B", "Transitions", "20", _SAFETY),
    listed("036C", "Approach guardrail", "20", _SAFETY),
    listed("036D", "Approach guardrail ends", "20", _SAFETY),
    listed(
        "100",
        "Strategic highway network",
        "67",
        {"0": "not on it", "1": "on an Interstate of it", "2": "on another route of it", "3": "on a connector to it"},
    ),
    listed(
        "101",
        "Parallel structure",
        "67",
        {"R": "right of two, in the direction of the inventory", "L": "left of two", "N": "no parallel structure"},
    ),
    listed(
        "102",
        "Direction of traffic",
        "68",
        {"0": "no highway traffic", "1": "one way", "2": "two ways", "3": "one lane for both ways"},
    ),
    listed(
        "103",
        "Temporary structure",
        "68",
        {"T": "temporary structure or condition"},
        blank_means="nothing temporary",
    ),
    listed("104", "National Highway System", "69", {"0": "not on it", "1": "on it"}),
    listed(
        "105",
        "Federal lands highways",
        "69",
        {
            "0": "not applicable",
            "1": "Indian reservation road",
            "2": "forest highway",
            "3": "land management highway",
            "4": "Indian reservation road and forest highway",
            "5": "Indian reservation road and land management highway",
            "6": "forest highway and land management highway",
            "9": "all three",
        },
    ),
    listed("110", "National truck network", "72", {"0": "not part of it", "1": "part of it"}),
    listed("112", "Long enough for the national standards (over 6.1 m)", "73", {"Y": "yes", "N": "no"}),
)
