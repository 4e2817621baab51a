"""Rows of the published reference design values, psi, grouped as the tables print them (see ``design_values``)."""

from __future__ import annotations

TABLE_4A = "NDS Supplement 2018 Table 4A"
TABLE_4B = "NDS Supplement 2018 Table 4B"
TABLE_4B_OLD = "NDS Supplement 1991-2005 Table 4B"
TABLE_4D = "NDS Supplement 2018 Table 4D"
TABLE_5A_EXPANDED_2018 = "NDS Supplement 2018 Table 5A expanded"
TABLE_5A_EXPANDED = "NDS Supplement Table 5A expanded"
TABLE_5A = "NDS Supplement 2018 Table 5A"
TABLE_5B = "NDS Supplement Table 5B"
MAKER_EVALUATED = "typical maker value; the evaluation report of the product actually used governs"
MAKER = "typical maker value"

SIZE_IN_VALUE = "size effect already in the value: C_F = 1.0 (1.1 on Fb for 4 in thick, 8 in and wider; 0.9 over 12 in)"
SUPERSEDED = (
    "superseded; shear before 2001 was 90, from 2001 to 2013 it was 175: the lower is kept. for bridges "
    "designed before June 2013"
)
WET_OR_DRY = "tabulated for wet or dry service: take C_M = 1.0"
HARDWOOD = "hardwood stress-laminated decks"
NEGATIVE_BENDING = "other copies that show Fb- 1450 are the 24F-1.8E stress class"
BALANCED = "balanced layup"
BALANCED_2 = "balanced"
SPECIES_OPEN = "class does not fix the species: exponent of C_V must be asked for"
WIDE_FACES = "loads parallel to wide faces of laminations"
PSL_BEAM = (
    "Fb at 12 in depth, multiply by (12/d)^0.111; shear modulus about E/16; dry service; density 45 lb/ft3 checked-2nd"
)
PSL_COLUMN = "Fb at 12 in depth, (12/d)^0.111; dry service"
PSL_TYPICAL = "seen in a general-purpose table flagged there as typical only; (12/d)^0.111"
LVL_TYPICAL = "seen in a general-purpose table flagged there as typical only; (12/d)^0.136"

# Each group: species, size class, kind, source, mark, edition, specific gravity, density lb/ft3, note, and rows of
# (grade, Fb, Fb negative, Ft, Fv, Fc perpendicular, Fc parallel, E, E min); None where the table gives no value.
# fmt: off
GROUPS = (
    (
        "Douglas fir-larch", "dimension, 2 to 4 in thick", "dimension",
        TABLE_4A, "checked-2nd", "2018", 0.5, None, "",
        (
            ("Select Structural", 1500, None, 1000, 180, 625, 1700, 1900000, 690000),
            ("No.1 & Btr", 1200, None, 800, 180, 625, 1550, 1800000, 660000),
            ("No.1", 1000, None, 675, 180, 625, 1500, 1700000, 620000),
            ("No.2", 900, None, 575, 180, 625, 1350, 1600000, 580000),
            ("No.3", 525, None, 325, 180, 625, 775, 1400000, 510000),
        ),
    ),
    (
        "Hem-fir", "dimension, 2 to 4 in thick", "dimension",
        TABLE_4A, "checked-2nd", "2018", 0.43, None, "",
        (
            ("Select Structural", 1400, None, 925, 150, 405, 1500, 1600000, 580000),
            ("No.1", 975, None, 625, 150, 405, 1350, 1500000, 550000),
            ("No.2", 850, None, 525, 150, 405, 1300, 1300000, 470000),
        ),
    ),
    (
        "Spruce-pine-fir", "dimension, 2 to 4 in thick", "dimension",
        TABLE_4A, "checked-2nd", "2018", 0.42, None, "",
        (
            ("Select Structural", 1250, None, 700, 135, 425, 1400, 1500000, 550000),
            ("No.1/No.2", 875, None, 450, 135, 425, 1150, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 4 in nominal width", "dimension",
        TABLE_4B, "memory", "2018", 0.55, None, SIZE_IN_VALUE,
        (
            ("Select Structural", 2350, None, 1650, 175, 565, 1900, 1800000, 660000),
        ),
    ),
    (
        "Southern pine", "dimension, 6 in nominal width", "dimension",
        TABLE_4B, "memory", "2018", 0.55, None, SIZE_IN_VALUE,
        (
            ("Select Structural", 2100, None, 1450, 175, 565, 1800, 1800000, 660000),
        ),
    ),
    (
        "Southern pine", "dimension, 8 in nominal width", "dimension",
        TABLE_4B, "memory", "2018", 0.55, None, SIZE_IN_VALUE,
        (
            ("Select Structural", 1950, None, 1350, 175, 565, 1700, 1800000, 660000),
        ),
    ),
    (
        "Southern pine", "dimension, 10 in nominal width", "dimension",
        TABLE_4B, "memory", "2018", 0.55, None, SIZE_IN_VALUE,
        (
            ("Select Structural", 1700, None, 1150, 175, 565, 1650, 1800000, 660000),
        ),
    ),
    (
        "Southern pine", "dimension, 12 in nominal width", "dimension",
        TABLE_4B, "memory", "2018", 0.55, None, SIZE_IN_VALUE,
        (
            ("Select Structural", 1600, None, 1100, 175, 565, 1650, 1800000, 660000),
        ),
    ),
    (
        "Southern pine", "dimension, 4 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.1", 1500, None, 1000, 175, 565, 1650, 1600000, 580000),
        ),
    ),
    (
        "Southern pine", "dimension, 6 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.1", 1350, None, 875, 175, 565, 1550, 1600000, 580000),
        ),
    ),
    (
        "Southern pine", "dimension, 8 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.1", 1250, None, 800, 175, 565, 1500, 1600000, 580000),
        ),
    ),
    (
        "Southern pine", "dimension, 10 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.1", 1050, None, 700, 175, 565, 1450, 1600000, 580000),
        ),
    ),
    (
        "Southern pine", "dimension, 12 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.1", 1000, None, 650, 175, 565, 1400, 1600000, 580000),
        ),
    ),
    (
        "Southern pine", "dimension, 4 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.2", 1100, None, 675, 175, 565, 1450, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 6 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.2", 1000, None, 600, 175, 565, 1400, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 8 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.2", 925, None, 550, 175, 565, 1350, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 10 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.2", 800, None, 475, 175, 565, 1300, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 12 in nominal width", "dimension",
        TABLE_4B, "checked-2nd", "2018", 0.55, None, "",
        (
            ("No.2", 750, None, 450, 175, 565, 1250, 1400000, 510000),
        ),
    ),
    (
        "Southern pine", "dimension, 12 in nominal width", "dimension",
        TABLE_4B_OLD, "memory", "before 2013", 0.55, None, SUPERSEDED,
        (
            ("Select Structural (before 2013)", 1900, None, 1050, 90, 565, 1750, 1800000, None),
            ("No.1 (before 2013)", 1250, None, 675, 90, 565, 1600, 1700000, None),
            ("No.2 (before 2013)", 975, None, 550, 90, 565, 1450, 1600000, None),
        ),
    ),
    (
        "Douglas fir-larch", "beams and stringers", "timber",
        TABLE_4D, "checked-2nd", "2018", 0.5, None, "",
        (
            ("Select Structural", 1600, None, 950, 170, 625, 1100, 1600000, 580000),
            ("No.1", 1350, None, 675, 170, 625, 925, 1600000, 580000),
            ("No.2", 875, None, 425, 170, 625, 600, 1300000, 470000),
        ),
    ),
    (
        "Douglas fir-larch", "posts and timbers", "timber",
        TABLE_4D, "checked-2nd", "2018", 0.5, None, "",
        (
            ("Select Structural", 1500, None, 1000, 170, 625, 1150, 1600000, 580000),
            ("No.1", 1200, None, 825, 170, 625, 1000, 1600000, 580000),
            ("No.2", 750, None, 475, 170, 625, 700, 1300000, 470000),
        ),
    ),
    (
        "Douglas fir-larch", "beams and stringers", "timber",
        TABLE_4D, "memory", "2018", 0.5, None, "",
        (
            ("Dense Select Structural", 1900, None, 1100, 170, 730, 1300, 1700000, 620000),
            ("Dense No.1", 1550, None, 775, 170, 730, 1100, 1700000, 620000),
        ),
    ),
    (
        "Southern pine", "timbers, 5x5 and larger", "timber",
        TABLE_4D, "memory", "2018", 0.55, None, WET_OR_DRY,
        (
            ("Dense Select Structural", 1750, None, 1200, 165, 440, 1100, 1600000, 580000),
            ("Select Structural", 1500, None, 1000, 165, 375, 950, 1500000, 550000),
            ("No.1 Dense", 1550, None, 1050, 165, 440, 975, 1600000, 580000),
            ("No.1", 1350, None, 900, 165, 375, 825, 1500000, 550000),
            ("No.2 Dense", 975, None, 650, 165, 440, 625, 1300000, 470000),
            ("No.2", 850, None, 550, 165, 375, 525, 1200000, 440000),
        ),
    ),
    (
        "Hem-fir", "beams and stringers", "timber",
        TABLE_4D, "memory", "2018", 0.43, None, "",
        (
            ("Select Structural", 1300, None, 750, 140, 405, 925, 1300000, 470000),
            ("No.1", 1050, None, 525, 140, 405, 750, 1300000, 470000),
            ("No.2", 675, None, 350, 140, 405, 500, 1100000, 400000),
        ),
    ),
    (
        "Red oak", "dimension, 2 to 4 in thick", "dimension",
        TABLE_4A, "memory", "2018", 0.67, None, HARDWOOD,
        (
            ("Select Structural", 1150, None, 675, 170, 820, 1000, 1400000, 510000),
            ("No.1", 825, None, 500, 170, 820, 825, 1300000, 470000),
            ("No.2", 800, None, 475, 170, 820, 625, 1200000, 440000),
        ),
    ),
    (
        "Glulam DF/DF", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED_2018, "checked-2nd", "2018", 0.5, 35, NEGATIVE_BENDING,
        (
            ("24F-V4", 2400, 1850, 1100, 265, 650, 1650, 1800000, 950000),
        ),
    ),
    (
        "Glulam DF/DF", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED_2018, "checked-2nd", "2018", 0.5, 35, BALANCED,
        (
            ("24F-V8", 2400, 2400, 1100, 265, 650, 1650, 1800000, 950000),
        ),
    ),
    (
        "Glulam DF/DF", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED, "memory", "2018", 0.5, 35, "",
        (
            ("20F-V3", 2000, 1450, 975, 265, 650, 1550, 1600000, 850000),
        ),
    ),
    (
        "Glulam DF/DF", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED, "memory", "2018", 0.5, 35, BALANCED_2,
        (
            ("20F-V7", 2000, 2000, 1050, 265, 650, 1600, 1600000, 850000),
        ),
    ),
    (
        "Glulam SP/SP", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED, "memory", "2018", 0.55, 36, "",
        (
            ("24F-V3", 2400, 2000, 1150, 300, 740, 1650, 1800000, 950000),
        ),
    ),
    (
        "Glulam SP/SP", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A_EXPANDED, "memory", "2018", 0.55, 36, BALANCED_2,
        (
            ("24F-V5", 2400, 2400, 1150, 300, 740, 1650, 1700000, 900000),
        ),
    ),
    (
        "Glulam stress class", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A, "memory", "2018", 0.41, 35, SPECIES_OPEN,
        (
            ("16F-1.3E", 1600, 925, 675, 195, 315, 925, 1300000, 690000),
            ("20F-1.5E", 2000, 1100, 725, 210, 425, 925, 1500000, 790000),
        ),
    ),
    (
        "Glulam stress class", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A, "memory", "2018", 0.42, 35, SPECIES_OPEN,
        (
            ("24F-1.7E", 2400, 1450, 775, 210, 500, 1000, 1700000, 900000),
        ),
    ),
    (
        "Glulam stress class", "glulam beam, bending about x-x", "glulam_x",
        TABLE_5A, "memory", "2018", 0.5, 35, SPECIES_OPEN,
        (
            ("24F-1.8E", 2400, 1450, 1100, 265, 650, 1600, 1800000, 950000),
            ("26F-1.9E", 2600, 1950, 1150, 265, 650, 1600, 1900000, 1000000),
        ),
    ),
    (
        "Glulam DF", "glulam deck panel, bending about y-y", "glulam_y",
        TABLE_5B, "memory", "2018", 0.5, 35, WIDE_FACES,
        (
            ("Combination 2 (L2), y-y axis, 4 or more laminations",
             1800, None, 1250, 230, 560, 1950, 1600000, 850000),
        ),
    ),
    (
        "Glulam SP", "glulam deck panel, bending about y-y", "glulam_y",
        TABLE_5B, "memory", "2018", 0.55, 36, "",
        (
            ("Combination 47 (N2M), y-y axis, 4 or more laminations",
             1750, None, 1200, 260, 650, 1900, 1400000, 740000),
        ),
    ),
    (
        "PSL", "parallel strand lumber", "psl",
        MAKER_EVALUATED, "memory", "maker", 0.5, 45, PSL_BEAM,
        (
            ("2.0E", 2900, None, 2025, 290, 750, 2900, 2000000, 1016000),
        ),
    ),
    (
        "PSL", "parallel strand lumber", "psl",
        MAKER, "memory", "maker", 0.5, 45, PSL_COLUMN,
        (
            ("1.8E", 2400, None, 1755, 190, 545, 2500, 1800000, 915000),
        ),
    ),
    (
        "PSL", "parallel strand lumber", "psl",
        MAKER, "checked-2nd", "maker", 0.5, 45, PSL_TYPICAL,
        (
            ("2.2E", 2900, None, 2300, 290, 625, 2900, 2200000, 1118000),
        ),
    ),
    (
        "LVL", "laminated veneer lumber", "lvl",
        MAKER, "checked-2nd", "maker", 0.5, 42, LVL_TYPICAL,
        (
            ("2.0E", 2600, None, 1555, 285, 750, 2510, 2000000, 1017000),
        ),
    ),
)
# fmt: on
