"""How the wheel loads of a rating are shared among its members: which method gave the factor, in words."""

from inspections.models import Rating

PLATE = "plate, "
METHOD_WORDS = {
    "refined": "by the refined analysis (orthotropic plate)",
    "rules": "by the published rules",
    "both": "by the refined analysis (orthotropic plate) and, where no plate stands, by the published rules",
}


def loads_shared(rating: Rating) -> dict | None:
    """The method in words, and a line for each member under the vehicle that governs; None where nothing is rated."""
    vehicles = rating.results.get("governing", []) if rating.is_rated else []
    if not vehicles:
        return None
    worst = min(vehicles, key=lambda row: row["posting_factor"])
    method = (rating.snapshot.get("policy") or {}).get("posting_method", "ASR")
    rows = {}
    for span in rating.results.get("spans", []):
        for row in span["results"]:
            wanted = (row["vehicle"], row["limit_state"], row.get("method", "ASR"))
            if wanted == (worst["vehicle"], "bending", method):
                rows.setdefault((span["label"], row["member"]), row)
    refined = {row["distribution_rule"].startswith(PLATE) for row in rows.values()}
    if not refined:
        return None
    key = "both" if len(refined) == 2 else "refined" if refined == {True} else "rules"
    lines = [
        {
            "member": f"span {label}, {member}",
            "share": row["distribution_factor"],
            "rule": row["distribution_rule"],
            "source": row["distribution_source"],
        }
        for (label, member), row in rows.items()
    ]
    return {"words": METHOD_WORDS[key], "vehicle": worst["name"], "lines": lines}
