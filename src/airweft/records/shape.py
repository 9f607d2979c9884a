"""The shape a piece will take: where its joints come to lie, how it holds, stands and weighs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airweft.base.findings import Finding
from airweft.records.arrays import Points

Stand = Literal["table", "hang", "free"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The predicted shape of a net of n joints and m bubbles. Millimetres; z is up.

    positions       (n, 3) of the joints, in the order of the net; on a table the lowest bubble
                    touches z = 0
    diameters       (m,) of the bubble bodies as they were reckoned: the balloon's, or less where a
                    short bubble is pressed by its neighbours
    length_error    greatest and mean difference between a bubble's length and the distance of its
                    joints, as a share of the length; loops have none
    overlaps        pairs of bubbles (without a joint in common) that lie deeper in each other than
                    allowed, the deepest first
    worst_overlap   depth of the deepest overlap as a share of the bubbles' diameter
    width, depth, height   of the outside along x, y and z, bubbles included
    stand           what was reckoned: on a table, hanging, or without weight
    held            joints it hangs by; empty unless it hangs
    converged       whether all forces came to rest within `iterations` steps
    """

    positions: Points
    diameters: tuple[float, ...]
    length_error: tuple[float, float]
    overlaps: tuple[tuple[int, int], ...]
    worst_overlap: float
    width: float
    depth: float
    height: float
    stand: Stand
    held: tuple[int, ...]
    iterations: int
    converged: bool
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Rigidity:
    """A net as a frame of stiff bars with ball joints: m - s = d j - e - b in d dimensions.

    joints, bars    j and e; loops and bubbles without length are no bars
    rank            of the rigidity matrix
    mechanisms      m, ways in which the frame can begin to move without any bar changing length
    self_stresses   s, ways in which bars can pull and push each other with nothing from outside
    rigid_motions   b, ways of moving it as a whole: 6 in space, 5 if all joints lie on a line
    """

    joints: int
    bars: int
    rank: int
    mechanisms: int
    self_stresses: int
    rigid_motions: int

    @property
    def count(self) -> int:
        """Maxwell's count d j - e - b, which is m - s."""
        return self.mechanisms - self.self_stresses


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftMode:
    """One way in which a piece gives more easily than in others.

    moves       (n, 3) displacement of the joints, the farthest-moving by 1
    stiffness   in units of a bubble's own stiffness along its length: for ranking only
    give        how far the farthest-moving joint goes when pressed with the weight of the piece, in
                bubble lengths: by an assumed stiffness, for ranking only
    joints      the joints that move most, first the farthest-moving
    panels      the panels in which most of the motion lies, the softest first
    """

    moves: Points
    stiffness: float
    give: float
    joints: tuple[int, ...]
    panels: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Softness:
    """The softest ways in which a piece can move, softest first, and what may help."""

    modes: tuple[SoftMode, ...]
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a piece stands on a table. Millimetres and degrees.

    stands          whether the centre of mass lies over the base
    centre          (x, y, z) of the centre of mass, z above the table
    base            corners of the base, anticlockwise seen from above, (x, y)
    tip_degrees     how far it can be tilted and still comes back; negative if it falls over
    tips_towards    degrees from x (right) towards y (back), the way it tips most easily
    side            the same in words: "front", "back right" ...; "" where it has no base
    """

    stands: bool
    centre: tuple[float, float, float]
    base: tuple[tuple[float, float], ...]
    tip_degrees: float
    tips_towards: float
    side: str
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """What a piece weighs and how much air is in it: rough figures, from assumed wall thickness.

    latex_g     latex in the piece     air_l      air in its bubbles
    balloons_g  latex of all balloons bought for it, tails and ends included, if they were given
    strokes     full strokes of a hand pump for the air, at least one for each balloon; where the
                balloons are known, for pumping each of them in full strokes
    """

    latex_g: float
    air_l: float
    strokes: int
    balloons_g: float | None = None
