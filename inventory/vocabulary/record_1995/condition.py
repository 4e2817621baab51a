"""Condition and appraisal codes (guide pp. 38-58, checked)."""

from .code_list import listed

_CONDITION = {
    "9": "excellent",
    "8": "very good: no problems",
    "7": "good: some minor problems",
    "6": "satisfactory: minor deterioration of structural parts",
    "5": "fair: primary parts sound, perhaps minor loss of section, cracking, spalling or scour",
    "4": "poor: advanced loss of section, deterioration, spalling or scour",
    "3": "serious: primary parts seriously affected, local failures possible",
    "2": "critical: advanced deterioration of primary parts; close watch or closing until corrected",
    "1": "imminent failure: closed, may return to light service after correction",
    "0": "failed: out of service, beyond correction",
    "N": "not applicable",
}
_APPRAISAL = {
    "9": "superior to present desirable criteria",
    "8": "equal to present desirable criteria",
    "7": "better than present minimum criteria",
    "6": "equal to present minimum criteria",
    "5": "somewhat better than the least that can stay",
    "4": "the least that can stay as it is",
    "3": "intolerable, correction of high priority",
    "2": "intolerable, replacement of high priority",
    "1": "this value is not used",
    "0": "closed",
}
# In the yearly files a star stands where the value could not be computed for want of data.
_NOT_COMPUTED = {"*": "could not be computed"}

LISTS = (
    listed("058", "Deck condition", "38", _CONDITION),
    listed("059", "Superstructure condition", "38", _CONDITION),
    listed("060", "Substructure condition", "38", _CONDITION),
    listed(
        "061",
        "Channel and its protection",
        "40",
        {
            "9": "no deficiency of note",
            "8": "banks protected or well vegetated",
            "7": "bank protection needs minor repairs",
            "6": "bank beginning to slump, minor damage widespread",
            "5": "bank protection being eroded, major damage",
            "4": "bank and embankment severely undermined",
            "3": "bank protection has failed; the channel now threatens the bridge or approach",
            "2": "near collapse because the channel has changed",
            "1": "closed because of the channel; correction may return it to light service",
            "0": "closed because of the channel; replacement needed",
            "N": "not over a waterway",
        },
    ),
    listed(
        "062",
        "Culvert condition",
        "41",
        {
            "9": "no deficiencies",
            "8": "nothing that affects the condition",
            "7": "light cracks and scaling, minor scour",
            "6": "beginning deterioration, local minor scour",
            "5": "moderate to major deterioration, minor settlement",
            "4": "wide cracks, heavy scaling, considerable settlement or scour",
            "3": "severe movement or loss of fill, severe scour",
            "2": "section may have failed; correction needed to keep traffic",
            "1": "closed; correction may return it to light service",
            "0": "closed; replacement needed",
            "N": "not a culvert",
        },
    ),
    listed("067", "Structural evaluation", "45", _APPRAISAL, later=_NOT_COMPUTED | {"N": "not applicable"}),
    listed("068", "Deck geometry", "45", _APPRAISAL | {"N": "not applicable"}, later=_NOT_COMPUTED),
    listed("069", "Underclearances", "45", _APPRAISAL | {"N": "not applicable"}, later=_NOT_COMPUTED),
    listed("071", "Waterway adequacy", "45", _APPRAISAL | {"N": "not over a waterway"}),
    listed("072", "Approach alignment", "45", _APPRAISAL, later={"N": "not applicable"}),
)
