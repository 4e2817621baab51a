"""A public number of the kernel carries its unit in its name (the house's rule, DEVELOPERS.md, Units)."""

import ast

from tests.house.tree import files, name

UNITS = {
    "ft", "in", "in2", "in3", "in4", "ft2", "mi", "m", "km",
    "lb", "kip", "kips", "ton", "tons",
    "psi", "ksi", "psf", "pcf", "pli", "plf", "klf", "kipft", "lbft", "lbin", "kipin",
    "pct", "ratio", "deg", "f", "days", "day", "years", "year", "months", "hours", "h", "mph",
    "factor", "coefficient", "exponent", "fraction", "share", "index",
}  # fmt: skip
# Pure numbers with a name of the trade, and values whose unit another argument gives.
DIMENSIONLESS = {
    "impact", "x", "y", "a", "b", "tolerance", "value", "values", "gamma", "phi", "poisson", "level", "weight",
    "lanes", "count", "term", "start", "end", "low", "high", "confidence", "mu", "nu", "beta", "wheel_lines",
    "bending_wheel_lines", "efficiency", "scale", "posting_level", "specific_gravity",
}  # fmt: skip

# Named one by one, with why no unit stands in the name.
KNOWN = {
    "require_range(above)": "the unit is that of the value looked at",
    "require_range(least)": "the unit is that of the value looked at",
    "require_range(most)": "the unit is that of the value looked at",
    "MakerWetFactors.bending": "a factor; the class says so",
    "MakerWetFactors.shear": "a factor; the class says so",
    "MakerWetFactors.bearing": "a factor; the class says so",
    "MakerWetFactors.modulus": "a factor; the class says so",
    "LimitStateResult.capacity": "its field `unit` gives it",
    "LimitStateResult.dead_effect": "its field `unit` gives it",
    "LimitStateResult.lane_effect": "its field `unit` gives it",
    "LimitStateResult.live_effect": "its field `unit` gives it",
    "LimitStateResult.wearing_effect": "its field `unit` gives it",
    "Level.dc": "a load factor; the class says so",
    "Level.dw": "a load factor; the class says so",
    "Level.live": "a load factor; the class says so",
    "level_result(capacity)": "its argument `unit` gives it",
    "level_result(lane)": "its argument `unit` gives it",
    "level_result(live)": "its argument `unit` gives it",
    "RatingPolicy.drilled_void_below": "a part of sound resistance, 0 to 1",
    "RatingPolicy.drilled_sound_from": "a part of sound resistance, 0 to 1",
    "GoverningCase.lane_effect": "its field `unit` gives it",
    "GoverningCase.live_effect": "its field `unit` gives it",
    "LanePart.area": "under an influence line, in its unit times ft; `effect` of the load says which line",
    "SpanRating.hs_inventory": "an HS number, the trade's own scale",
    "SpanRating.hs_operating": "an HS number, the trade's own scale",
    "StructureRating.hs_inventory": "an HS number, the trade's own scale",
    "StructureRating.hs_operating": "an HS number, the trade's own scale",
    "forecast(days_ahead)": "days, its first word",
    "PlanCheck.demand": "its field `unit` gives it",
    "PlanCheck.limit": "its field `unit` gives it",
    "PressedCheck.demand": "its field `unit` gives it",
    "PressedCheck.limit": "its field `unit` gives it",
    "check(demand)": "its argument `unit` gives it",
    "check(limit)": "its argument `unit` gives it",
    "Limit.least": "its field `unit` gives it",
    "Limit.most": "its field `unit` gives it",
    "Void.bending_lost": "a share of the section, 0 to 1",
    "dowelled_panel_moment(k)": "a coefficient of the published formula",
}


def carries_unit(word: str) -> bool:
    parts = word.lower().split("_")
    if word in DIMENSIONLESS or parts[-1] in UNITS:
        return True
    # `moment_lbft_per_ft`, `stiffness_lb_per_in`: a quotient of units; `ratio_...`, `factor_...` first also reads.
    if "per" in parts:
        at = parts.index("per")
        return at > 0 and parts[at - 1] in UNITS and parts[-1] in UNITS
    return bool({"ratio", "factor"} & set(parts))


def is_float(annotation) -> bool:
    if annotation is None:
        return False
    return ast.unparse(annotation) in ("float", "float | None", "int | float")


def nameless(tree: ast.Module) -> list[str]:
    """`function(argument)` or `Class.field` of each public float whose name has no unit."""
    found = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            for each in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
                if is_float(each.annotation) and not carries_unit(each.arg):
                    found.append(f"{node.name}({each.arg})")
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for each in node.body:
                if isinstance(each, ast.AnnAssign) and is_float(each.annotation) and not carries_unit(each.target.id):
                    found.append(f"{node.name}.{each.target.id}")
    return found


def test_every_public_float_of_the_kernel_names_its_unit():
    found = []
    for path in files(".py", under="inventory/mechanics"):
        nameless_here = nameless(ast.parse(path.read_text(encoding="utf-8")))
        found += [f"{name(path)}: {each}" for each in nameless_here if each not in KNOWN]
    assert not found, "\n".join(found)


def test_the_check_sees_a_number_without_a_unit():
    planted = "def bending(depth: float, width_in: float): ...\nclass Bar:\n    force: float\n    area_in2: float\n"
    assert nameless(ast.parse(planted)) == ["bending(depth)", "Bar.force"]
