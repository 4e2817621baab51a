"""Work proposed (item 75, guide pp. 58-59, checked)."""

from .code_list import listed

LISTS = (
    listed(
        "075A",
        "Work proposed",
        "58-59",
        {
            "31": "replacement: too weak or too narrow",
            "32": "replacement: road relocated",
            "33": "widening, deck kept",
            "34": "widening with deck rehabilitation or replacement",
            "35": "rehabilitation: deterioration or too weak",
            "36": "deck rehabilitation, little widening",
            "37": "deck replacement, little widening",
            "38": "other structural work, with hydraulic replacements",
        },
        blank_means="none proposed",
    ),
    listed("075B", "Work done by", "59", {"1": "contract", "2": "owner's forces"}, blank_means="none proposed"),
)
