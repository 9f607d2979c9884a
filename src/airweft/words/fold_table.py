"""The rows while they are folded, and what a fold is."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from airweft.words.movements import Movement, Ref, Row, split_row


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Rows `first` to `last` told by rows `source` to `source_last` (0-based, inclusive).

    `times` is how often the source is done again. `swaps` are (new, old) codes. `names` gives for a
    joint name of the source the name to take each time. `shifts` are (code, amount) in which the
    other names of a balloon count on: each time for *again*, once for *like*.
    """

    first: int
    last: int
    source: int
    source_last: int
    times: int
    again: bool
    swaps: tuple[tuple[str, str], ...] = ()
    names: tuple[tuple[Ref, tuple[Ref, ...]], ...] = ()
    shifts: tuple[tuple[str, int], ...] = ()


# Row, movement in its body, and the joint's name that the fold decides.
Settled = list[tuple[int, int, Ref]]
Found = tuple[Fold, Settled]


@dataclass(slots=True)
class Table:
    """All rows; `body` is each one's body, with joint names narrowed down as folds decide them."""

    rows: list[Row]
    body: list[list[Movement]] = field(default_factory=list)
    bounds: list[tuple[int, int]] = field(default_factory=list)  # where the body lies in the row
    shape: list[int] = field(default_factory=list)
    bare: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        shapes: dict[object, int] = {}
        for row in self.rows:
            lead, body, _ = split_row(row)
            self.body.append(list(body))
            self.bounds.append((len(lead), len(lead) + len(body)))
            self.shape.append(shapes.setdefault(tuple(m.shape() for m in body), len(shapes)))
            bare = ("bare", *(m.bare() for m in body))
            self.bare.append(shapes.setdefault(bare, len(shapes)))

    def joined(self, first: int, last: int) -> bool:
        """True if only the first row ties on at its beginning and only the last ties off."""
        opens = any(self.bounds[i][0] > 0 for i in range(first + 1, last + 1))
        closes = any(self.bounds[i][1] < len(self.rows[i]) for i in range(first, last))
        return not opens and not closes

    def full(self, i: int) -> Row:
        """The whole row with the joint names decided so far."""
        first, last = self.bounds[i]
        return (*self.rows[i][:first], *self.body[i], *self.rows[i][last:])

    def slots(self, first: int, last: int) -> list[tuple[int, int]]:
        """Row and movement of every joint name in the bodies of these rows."""
        return [
            (i, k) for i in range(first, last + 1) for k, move in enumerate(self.body[i]) if move.at
        ]

    def settle(self, names: Settled) -> None:
        """Decide these joint names."""
        for i, k, ref in names:
            self.body[i][k] = replace(self.body[i][k], at=(ref,))
