"""A bridge in a file of its own, rated without the register: the form, reading, and writing one from a snapshot.

``bridge.schema.json`` is the form as published; ``ops/rating-file.md`` says it to people. ``read_bridges`` gives what
the kernel takes, or ``BadFile`` with one sentence for each fault, naming its place.
"""

from inspections.reckoning.json_file import BadFile

from .answer import rate_bridge
from .form import schema
from .read import Bridge, read_bridges
from .write import rating_file

__all__ = ["BadFile", "Bridge", "rate_bridge", "rating_file", "read_bridges", "schema"]
