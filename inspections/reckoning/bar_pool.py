"""The county's rows of one kind as one sum, from which each row takes its own part off again.

A pool of thousands of rows is too long to be read for one structure; the kernel only adds its members up, so the sum
is kept. Under another policy than it was made with it lends nothing until it is made again.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass

from inventory.mechanics.bars.loss import LossPolicy, Pool, RowFit, pool
from inventory.mechanics.bars.loss.fit import grid_key
from inventory.mechanics.bars.loss.pool import PoolMember

ALL, OTHERS = "all rows", "the other rows"
DECIMALS = 3


@dataclass(frozen=True, kw_only=True)
class Member:
    """What one row says, or several together: logs by node of each form's mean and spread."""

    slopes: tuple[float, ...]
    pairs: tuple[float, ...]
    rows: int = 1

    def as_dict(self) -> dict:
        return {"slopes": list(self.slopes), "pairs": list(self.pairs), "rows": self.rows}

    @classmethod
    def from_dict(cls, plain: dict) -> "Member":
        return cls(slopes=tuple(plain["slopes"]), pairs=tuple(plain["pairs"]), rows=plain["rows"])

    def less(self, own: "Member") -> "Member":
        return Member(
            slopes=tuple(round(a - b, DECIMALS) for a, b in zip(self.slopes, own.slopes, strict=True)),
            pairs=tuple(round(a - b, DECIMALS) for a, b in zip(self.pairs, own.pairs, strict=True)),
            rows=self.rows - own.rows,
        )


@dataclass(frozen=True, kw_only=True)
class SummedPool:
    """All rows of a kind under one policy, summed."""

    kind: str
    grid_key: str
    total: Member

    @property
    def digest(self) -> str:
        return hashlib.sha256(json.dumps(self.as_dict(), sort_keys=True).encode()).hexdigest()[:16]

    def as_dict(self) -> dict:
        return {"kind": self.kind, "grid_key": self.grid_key, "total": self.total.as_dict()}

    @classmethod
    def from_dict(cls, plain: dict) -> "SummedPool":
        return cls(kind=plain["kind"], grid_key=plain["grid_key"], total=Member.from_dict(plain["total"]))

    def is_under(self, policy: LossPolicy) -> bool:
        return self.grid_key == grid_key(policy)

    def without(self, own: Member) -> Pool | None:
        """The kernel's pool of all rows but the one whose part is given; None where no other is left."""
        if self.total.rows <= own.rows:
            return None
        rest = self.total.less(own)
        member = PoolMember(label=OTHERS, slopes=rest.slopes, pairs=rest.pairs, rows=rest.rows)
        return Pool(kind=self.kind, grid_key=self.grid_key, members=(member,))


def member_of(fit: RowFit, policy: LossPolicy) -> Member:
    """What one fitted row adds to a pool."""
    (found,) = pool([fit], policy).members
    return Member(
        slopes=tuple(round(value, DECIMALS) for value in found.slopes),
        pairs=tuple(round(value, DECIMALS) for value in found.pairs),
    )


def summed(members: Iterable[Member]) -> Member | None:
    """Members put together; None of none. Grows linearly with them."""
    slopes, pairs, rows = None, None, 0
    for member in members:
        rows += member.rows
        if slopes is None:
            slopes, pairs = list(member.slopes), list(member.pairs)
            continue
        slopes = [a + b for a, b in zip(slopes, member.slopes, strict=True)]
        pairs = [a + b for a, b in zip(pairs, member.pairs, strict=True)]
    if slopes is None:
        return None
    return Member(
        slopes=tuple(round(value, DECIMALS) for value in slopes),
        pairs=tuple(round(value, DECIMALS) for value in pairs),
        rows=rows,
    )
