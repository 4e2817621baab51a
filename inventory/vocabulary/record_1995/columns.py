"""The columns of the comma-delimited yearly files, found by the item number their names end with.

Items, widths and decimals: guide, Appendix E, pp. E-1 to E-4, and the page given for each item [checked]. The names are
those of the yearly files of 2013 to 2023 [checked-2nd]; only their endings are relied on. In the comma form decimal
points are written out; in the fixed record they are implied.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Column:
    """`kind` names how the text is read; `width` counts digits or characters of the fixed record in all."""

    item: str
    name: str
    kind: str
    width: int
    decimals: int
    page: int

    @property
    def label(self) -> str:
        """The item the way people say it: 43A, 58, 108C."""
        return self.item.lstrip("0")


COLUMNS: tuple[Column, ...] = (
    Column("001", "STATE_CODE_001", "state", 3, 0, 1),
    Column("008", "STRUCTURE_NUMBER_008", "identity", 15, 0, 6),
    Column("005A", "RECORD_TYPE_005A", "code", 1, 0, 2),
    Column("005B", "ROUTE_PREFIX_005B", "code", 1, 0, 2),
    Column("005C", "SERVICE_LEVEL_005C", "code", 1, 0, 2),
    Column("005D", "ROUTE_NUMBER_005D", "digits", 5, 0, 2),
    Column("005E", "DIRECTION_005E", "code", 1, 0, 2),
    Column("002", "HIGHWAY_DISTRICT_002", "digits", 2, 0, 1),
    Column("003", "COUNTY_CODE_003", "digits", 3, 0, 1),
    Column("004", "PLACE_CODE_004", "digits", 5, 0, 2),
    Column("006A", "FEATURES_DESC_006A", "text", 24, 0, 5),
    Column("006B", "CRITICAL_FACILITY_006B", "text", 1, 0, 5),
    Column("007", "FACILITY_CARRIED_007", "text", 18, 0, 5),
    Column("009", "LOCATION_009", "text", 25, 0, 6),
    Column("010", "MIN_VERT_CLR_010", "decimal", 4, 2, 6),
    Column("011", "KILOPOINT_011", "decimal", 7, 3, 7),
    Column("012", "BASE_HWY_NETWORK_012", "code", 1, 0, 7),
    Column("013A", "LRS_INV_ROUTE_013A", "digits", 10, 0, 8),
    Column("013B", "SUBROUTE_NO_013B", "digits", 2, 0, 8),
    Column("016", "LAT_016", "latitude", 8, 0, 8),
    Column("017", "LONG_017", "longitude", 9, 0, 9),
    Column("019", "DETOUR_KILOS_019", "whole", 3, 0, 10),
    Column("020", "TOLL_020", "code", 1, 0, 11),
    Column("021", "MAINTENANCE_021", "code", 2, 0, 12),
    Column("022", "OWNER_022", "code", 2, 0, 12),
    Column("026", "FUNCTIONAL_CLASS_026", "code", 2, 0, 13),
    Column("027", "YEAR_BUILT_027", "year", 4, 0, 13),
    Column("028A", "TRAFFIC_LANES_ON_028A", "whole", 2, 0, 14),
    Column("028B", "TRAFFIC_LANES_UND_028B", "whole", 2, 0, 14),
    Column("029", "ADT_029", "whole", 6, 0, 15),
    Column("030", "YEAR_ADT_030", "year", 4, 0, 16),
    Column("031", "DESIGN_LOAD_031", "code", 1, 0, 16),
    Column("032", "APPR_WIDTH_MT_032", "decimal", 4, 1, 16),
    Column("033", "MEDIAN_CODE_033", "code", 1, 0, 18),
    Column("034", "DEGREES_SKEW_034", "whole", 2, 0, 19),
    Column("035", "STRUCTURE_FLARED_035", "code", 1, 0, 19),
    Column("036A", "RAILINGS_036A", "code", 1, 0, 19),
    Column("036B", "TRANSITIONS_036B", "code", 1, 0, 19),
    Column("036C", "APPR_RAIL_036C", "code", 1, 0, 19),
    Column("036D", "APPR_RAIL_END_036D", "code", 1, 0, 19),
    Column("037", "HISTORY_037", "code", 1, 0, 21),
    Column("038", "NAVIGATION_038", "code", 1, 0, 21),
    Column("039", "NAV_VERT_CLR_MT_039", "decimal", 4, 1, 22),
    Column("040", "NAV_HORR_CLR_MT_040", "decimal", 5, 1, 22),
    Column("041", "OPEN_CLOSED_POSTED_041", "code", 1, 0, 22),
    Column("042A", "SERVICE_ON_042A", "code", 1, 0, 23),
    Column("042B", "SERVICE_UND_042B", "code", 1, 0, 23),
    Column("043A", "STRUCTURE_KIND_043A", "code", 1, 0, 24),
    Column("043B", "STRUCTURE_TYPE_043B", "code", 2, 0, 24),
    Column("044A", "APPR_KIND_044A", "code", 1, 0, 25),
    Column("044B", "APPR_TYPE_044B", "code", 2, 0, 25),
    Column("045", "MAIN_UNIT_SPANS_045", "whole", 3, 0, 26),
    Column("046", "APPR_SPANS_046", "whole", 4, 0, 26),
    Column("047", "HORR_CLR_MT_047", "decimal", 3, 1, 26),
    Column("048", "MAX_SPAN_LEN_MT_048", "decimal", 5, 1, 28),
    Column("049", "STRUCTURE_LEN_MT_049", "decimal", 6, 1, 28),
    Column("050A", "LEFT_CURB_MT_050A", "decimal", 3, 1, 30),
    Column("050B", "RIGHT_CURB_MT_050B", "decimal", 3, 1, 30),
    Column("051", "ROADWAY_WIDTH_MT_051", "decimal", 4, 1, 32),
    Column("052", "DECK_WIDTH_MT_052", "decimal", 4, 1, 33),
    Column("053", "VERT_CLR_OVER_MT_053", "decimal", 4, 2, 33),
    Column("054A", "VERT_CLR_UND_REF_054A", "code", 1, 0, 33),
    Column("054B", "VERT_CLR_UND_054B", "decimal", 4, 2, 33),
    Column("055A", "LAT_UND_REF_055A", "code", 1, 0, 35),
    Column("055B", "LAT_UND_MT_055B", "decimal", 3, 1, 35),
    Column("056", "LEFT_LAT_UND_MT_056", "decimal", 3, 1, 37),
    Column("058", "DECK_COND_058", "code", 1, 0, 38),
    Column("059", "SUPERSTRUCTURE_COND_059", "code", 1, 0, 39),
    Column("060", "SUBSTRUCTURE_COND_060", "code", 1, 0, 39),
    Column("061", "CHANNEL_COND_061", "code", 1, 0, 40),
    Column("062", "CULVERT_COND_062", "code", 1, 0, 41),
    Column("063", "OPR_RATING_METH_063", "code", 1, 0, 42),
    Column("064", "OPERATING_RATING_064", "decimal", 3, 1, 43),
    Column("065", "INV_RATING_METH_065", "code", 1, 0, 44),
    Column("066", "INVENTORY_RATING_066", "decimal", 3, 1, 44),
    Column("067", "STRUCTURAL_EVAL_067", "code", 1, 0, 46),
    Column("068", "DECK_GEOMETRY_EVAL_068", "code", 1, 0, 48),
    Column("069", "UNDCLRENCE_EVAL_069", "code", 1, 0, 52),
    Column("070", "POSTING_EVAL_070", "code", 1, 0, 55),
    Column("071", "WATERWAY_EVAL_071", "code", 1, 0, 56),
    Column("072", "APPR_ROAD_EVAL_072", "code", 1, 0, 57),
    Column("075A", "WORK_PROPOSED_075A", "code", 2, 0, 58),
    Column("075B", "WORK_DONE_BY_075B", "code", 1, 0, 58),
    Column("076", "IMP_LEN_MT_076", "decimal", 6, 1, 60),
    Column("090", "DATE_OF_INSPECT_090", "month", 4, 0, 62),
    Column("091", "INSPECT_FREQ_MONTHS_091", "whole", 2, 0, 62),
    Column("092A", "FRACTURE_092A", "interval", 3, 0, 63),
    Column("092B", "UNDWATER_LOOK_SEE_092B", "interval", 3, 0, 63),
    Column("092C", "SPEC_INSPECT_092C", "interval", 3, 0, 63),
    Column("093A", "FRACTURE_LAST_DATE_093A", "month", 4, 0, 64),
    Column("093B", "UNDWATER_LAST_DATE_093B", "month", 4, 0, 64),
    Column("093C", "SPEC_LAST_DATE_093C", "month", 4, 0, 64),
    Column("094", "BRIDGE_IMP_COST_094", "whole", 6, 0, 64),
    Column("095", "ROADWAY_IMP_COST_095", "whole", 6, 0, 65),
    Column("096", "TOTAL_IMP_COST_096", "whole", 6, 0, 65),
    Column("097", "YEAR_OF_IMP_097", "year", 4, 0, 66),
    Column("098A", "OTHER_STATE_CODE_098A", "text", 3, 0, 66),
    Column("098B", "OTHER_STATE_PCNT_098B", "whole", 2, 0, 66),
    Column("099", "OTHR_STATE_STRUC_NO_099", "text", 15, 0, 66),
    Column("100", "STRAHNET_HIGHWAY_100", "code", 1, 0, 67),
    Column("101", "PARALLEL_STRUCTURE_101", "code", 1, 0, 67),
    Column("102", "TRAFFIC_DIRECTION_102", "code", 1, 0, 68),
    Column("103", "TEMP_STRUCTURE_103", "code", 1, 0, 68),
    Column("104", "HIGHWAY_SYSTEM_104", "code", 1, 0, 69),
    Column("105", "FEDERAL_LANDS_105", "code", 1, 0, 69),
    Column("106", "YEAR_RECONSTRUCTED_106", "year", 4, 0, 69),
    Column("107", "DECK_STRUCTURE_TYPE_107", "code", 1, 0, 70),
    Column("108A", "SURFACE_TYPE_108A", "code", 1, 0, 70),
    Column("108B", "MEMBRANE_TYPE_108B", "code", 1, 0, 70),
    Column("108C", "DECK_PROTECTION_108C", "code", 1, 0, 70),
    Column("109", "PERCENT_ADT_TRUCK_109", "whole", 2, 0, 71),
    Column("110", "NATIONAL_NETWORK_110", "code", 1, 0, 72),
    Column("111", "PIER_PROTECTION_111", "code", 1, 0, 72),
    Column("112", "BRIDGE_LEN_IND_112", "code", 1, 0, 73),
    Column("113", "SCOUR_CRITICAL_113", "code", 1, 0, 75),
    Column("114", "FUTURE_ADT_114", "whole", 6, 0, 77),
    Column("115", "YEAR_OF_FUTURE_ADT_115", "year", 4, 0, 77),
    Column("116", "MIN_NAV_CLR_MT_116", "decimal", 4, 1, 77),
)

BY_ITEM: dict[str, Column] = {column.item: column for column in COLUMNS}
ITEM_ORDER: dict[str, int] = {column.item: place for place, column in enumerate(COLUMNS)}

# Without these nothing can be told of a structure: which it is, where, of what, how long. The rest may be absent.
NEEDED = ("001", "008", "005A", "003", "043A", "043B", "048", "049")

# Columns at the tail of the newer form (123) and of the older form (134). They carry no item number; what they say is
# either computed from items above or federal bookkeeping, so they are kept out and named in the report.
TAIL_NEWER = ("FED_AGENCY", "SUBMITTED_BY", "BRIDGE_CONDITION", "LOWEST_RATING", "DECK_AREA")
TAIL_OLDER = (
    "FED_AGENCY",
    "DATE_LAST_UPDATE",
    "TYPE_LAST_UPDATE",
    "DEDUCT_CODE",
    "REMARKS",
    "PROGRAM_CODE",
    "PROJ_NO",
    "PROJ_SUFFIX",
    "NBI_TYPE_OF_IMP",
    "DTL_TYPE_OF_IMP",
    "SPECIAL_CODE",
    "STEP_CODE",
    "STATUS_WITH_10YR_RULE",
    "SUFFICIENCY_ASTERC",
    "SUFFICIENCY_RATING",
    "STATUS_NO_10YR_RULE",
)

_ENDING = re.compile(r"_(\d{1,3})([A-Z]?)$")


def item_of(name: str) -> str | None:
    """The item a column name ends with, e.g. 043A of STRUCTURE_KIND_043A, or None where it ends with no known item."""
    found = _ENDING.search(name.strip().strip("'\"").strip().upper())
    if not found:
        return None
    item = found[1].zfill(3) + found[2]
    return item if item in BY_ITEM else None
