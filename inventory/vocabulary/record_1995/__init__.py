"""The code lists and columns of the 1995 federal record, each with the page it was read on.

GUIDE is the Recording and Coding Guide for the Structure Inventory and Appraisal of the Nation's Bridges, report
FHWA-PD-96-001, December 1995. Page numbers are those printed on the page. Meanings are in our own words.
"""

from . import columns, condition, owners, places, rating, roads, structure_types, surfaces, water, works
from .code_list import GUIDE, LATER, MARK_CHECKED, MARK_LATER, Code, CodeList

CODE_LISTS: dict[str, CodeList] = {
    code_list.item: code_list
    for module in (places, roads, owners, structure_types, condition, rating, surfaces, water, works)
    for code_list in module.LISTS
}

__all__ = [
    "CODE_LISTS",
    "GUIDE",
    "LATER",
    "MARK_CHECKED",
    "MARK_LATER",
    "Code",
    "CodeList",
    "columns",
]
