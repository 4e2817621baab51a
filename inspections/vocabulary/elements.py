"""Elements a county's timber structure may have: number, name and unit of quantity.

Numbers, names and units of the national element list (AASHTO Manual for Bridge Element Inspection, 2nd ed. 2019; FHWA
specification of 2014) [memory]. Element data are required only on the National Highway System, 23 CFR 650.315(a)
[checked]; a county may use them by choice.
"""

ELEMENTS: dict[int, tuple[str, str]] = {
    31: ("Timber deck", "sq ft"),
    54: ("Timber slab", "sq ft"),
    60: ("Other deck", "sq ft"),
    65: ("Other slab", "sq ft"),
    106: ("Other closed web or box girder", "ft"),
    107: ("Steel open girder", "ft"),
    111: ("Timber open girder", "ft"),
    113: ("Steel stringer", "ft"),
    117: ("Timber stringer", "ft"),
    135: ("Timber truss", "ft"),
    146: ("Timber arch", "ft"),
    152: ("Steel floor beam", "ft"),
    156: ("Timber floor beam", "ft"),
    202: ("Steel column", "each"),
    205: ("Concrete column", "each"),
    206: ("Timber column", "each"),
    208: ("Timber trestle", "ft"),
    210: ("Concrete pier wall", "ft"),
    212: ("Timber pier wall", "ft"),
    215: ("Concrete abutment", "ft"),
    216: ("Timber abutment", "ft"),
    217: ("Masonry abutment", "ft"),
    218: ("Other abutment", "ft"),
    220: ("Concrete pile cap or footing", "ft"),
    225: ("Steel pile", "each"),
    227: ("Concrete pile", "each"),
    228: ("Timber pile", "each"),
    231: ("Steel pier cap", "ft"),
    234: ("Concrete pier cap", "ft"),
    235: ("Timber pier cap", "ft"),
    242: ("Timber culvert", "ft"),
    301: ("Pourable joint seal", "ft"),
    304: ("Open joint", "ft"),
    306: ("Other joint", "ft"),
    310: ("Elastomeric bearing", "each"),
    311: ("Movable bearing", "each"),
    313: ("Fixed bearing", "each"),
    316: ("Other bearing", "each"),
    330: ("Metal railing", "ft"),
    331: ("Concrete railing", "ft"),
    332: ("Timber railing", "ft"),
    333: ("Other railing", "ft"),
    510: ("Wearing surface", "sq ft"),
    515: ("Steel protective coating", "sq ft"),
}


def element_words(number: int) -> str:
    """'117 Timber stringer'; an unknown number stands alone."""
    name, _ = ELEMENTS.get(number, ("", ""))
    return f"{number} {name}".strip()
