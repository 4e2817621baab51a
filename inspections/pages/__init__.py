"""The parts that this room hangs on a structure's page, and its entries of the navigation."""

from inspections.queries.bars import defects_of
from inventory.pages import (
    Door,
    ListLink,
    Section,
    StructureLink,
    add_banner,
    add_bar_source,
    add_door,
    add_list_link,
    add_mark_source,
    add_section,
    add_structure_link,
)
from inventory.vocabulary.roles import Permit

from . import bars, carrying, condition, critical, field_held, findings, history, marks, owed, posting, scour, stressing


def register() -> None:
    """Called once at the start of the site."""
    for key, order, title, load, aside in (
        ("condition", 8, "Condition", condition.load, True),
        ("carrying", 40, "What it can carry", carrying.load, False),
        ("posting", 7, "Posting", posting.load, True),
        ("bar-force", 50, "Bar force along the span", bars.load, False),
        ("stressing", 52, "Stressing days", stressing.load, False),
        ("findings", 55, "Findings standing", findings.load, False),
        ("inspections", 60, "Inspections", history.load, True),
        ("scour", 9, "Stream and scour", scour.load, True),
    ):
        template = f"inspections/sections/{key}.html"
        add_section(Section(key=key, order=order, title=title, template=template, load=load, aside=aside))
    add_mark_source("inspections", marks.load)
    add_bar_source("inspections", defects_of)
    owed_part = Section(
        key="owed",
        order=6,
        title="Owed on this structure",
        template="inspections/reminders/section.html",
        load=owed.load,
        aside=True,
    )
    add_section(owed_part)
    critical_part = Section(
        key="critical",
        order=5,
        title="Critical findings",
        template="inspections/critical/section.html",
        load=critical.load,
        aside=True,
    )
    add_section(critical_part)
    add_banner("critical", critical.banner)
    add_structure_link(
        StructureLink(
            order=5,
            label="Report a critical finding",
            url_name="inspections:new_critical",
            permit=Permit.REPORT_CRITICAL,
        )
    )
    add_door(Door(order=24, label="Critical", url_name="inspections:critical_findings"))
    add_structure_link(
        StructureLink(
            order=10, label="Start an inspection", url_name="inspections:start", permit=Permit.ENTER_INSPECTION
        )
    )
    add_structure_link(StructureLink(order=12, label="Schedule", url_name="inspections:schedule", permit=Permit.READ))
    add_structure_link(
        StructureLink(order=30, label="Can this load cross?", url_name="inspections:crossing", permit=Permit.READ)
    )
    add_structure_link(
        StructureLink(order=35, label="Try a change", url_name="inspections:trial", permit=Permit.TRY_CHANGE)
    )
    add_list_link(ListLink(order=40, label="Scour owed", url_name="inspections:scour_owed"))
    add_door(Door(order=45, label="Stressing", url_name="inspections:stressing_days"))
    add_door(Door(order=25, label="Due", url_name="inspections:due"))
    add_door(Door(order=26, label="Field plan", url_name="inspections:plan"))
    add_door(Door(order=27, label="Bars", url_name="inspections:forecasts", permit=Permit.MANAGE_REMINDERS))
    add_door(Door(order=95, label="Messages", url_name="inspections:messages", count=owed.unread_count))
    add_door(Door(order=29, label="Field", url_name="inspections:field", permit=Permit.REPORT_CRITICAL))
    add_door(
        Door(
            order=32,
            label="Held from field",
            url_name="inspections:field_held",
            permit=Permit.SETTLE_RECEIPTS,
            count=field_held.held_count,
        )
    )
    add_door(Door(order=30, label="Inspections", url_name="inspections:inspections"))
    add_door(Door(order=40, label="Decisions", url_name="inspections:decisions", permit=Permit.DECIDE_POSTING))
    add_door(Door(order=60, label="Recalculation", url_name="inspections:recalculations", permit=Permit.RECALCULATE))
    add_door(Door(order=48, label="Quality", url_name="inspections:quality", permit=Permit.CHECK_QUALITY))
    add_door(Door(order=50, label="Signs", url_name="inspections:signs", permit=Permit.CONFIRM_SIGN))
