"""Plans made by hand, movement by movement, for the tests of the words.

Joints may have any hashable name. Looseness is kept the slow plain way, visit by visit, so that the
words' own quick count has something to be compared with.
"""

from __future__ import annotations

from collections.abc import Hashable

from airweft.records.arrays import pairs, points, whole
from airweft.records.budget import Budget
from airweft.records.net import Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan

BUDGET = Budget(flat=152000, full=760000, knot=1000, stub=2000, twist_takes=500, twist_pushes=0)
USUAL = 2500


class Builder:
    """Writes a plan. `row` is the row of the actions that follow."""

    def __init__(self) -> None:
        self.row = 1
        self.joints: dict[Hashable, int] = {}
        self.ends: list[tuple[int, int]] = []
        self.kinds: list[str] = []
        self.lengths: list[int] = []
        self.colours: list[str] = []
        self.panels: list[str] = []
        self.actions: list[Action] = []
        self.trails: dict[str, list[int]] = {}
        self.visits: dict[str, list[list]] = {}  # [joint, fast]

    def joint(self, name: Hashable) -> int:
        return self.joints.setdefault(name, len(self.joints))

    def touched(self, name: Hashable) -> bool:
        j = self.joint(name)
        return any(v[0] == j for visits in self.visits.values() for v in visits)

    def here(self, code: str) -> int:
        return self.visits[code][-1][0]

    def _begin(self, code: str, joint: int) -> None:
        self.trails[code] = []
        self.visits[code] = [[joint, True]]

    def _settle(self) -> None:
        """A twist between two fast ones is fast (M5)."""
        for visits in self.visits.values():
            last = max(i for i, v in enumerate(visits) if v[1])
            for v in visits[:last]:
                v[1] = True

    def tie(self, a: str, b: str, name: Hashable) -> None:
        joint = self.joint(name)
        self.actions.append(Action("tie", (a, b), joint, -1, self.row))
        self._begin(a, joint)
        self._begin(b, joint)

    def start(self, code: str, name: Hashable) -> None:
        joint = self.joint(name)
        self.actions.append(Action("start", (code,), joint, -1, self.row))
        self._hold(joint)
        self._begin(code, joint)

    def twist(
        self,
        code: str,
        *names: Hashable,
        kind: str = "fabric",
        length: int = USUAL,
        panel: str = "",
        hangs: bool = False,
    ) -> None:
        """A bubble to each of the joints named, in order. `hangs`: the far end hangs free."""
        for name in names:
            a, b = self.here(code), self.joint(name)
            bubble = len(self.ends)
            self.ends.append((a, b) if hangs or kind != "free" else (b, a))
            self.kinds.append("loop" if a == b else kind)
            self.lengths.append(length)
            self.colours.append(code[0])
            self.panels.append(panel)
            self.trails[code].append(bubble)
            self.actions.append(Action("twist", (code,), b, bubble, self.row))
            self.visits[code].append([b, hangs])
            if hangs:
                self._settle()

    def loose_at(self, joint: int) -> list[str]:
        return [c for c, vs in self.visits.items() if any(v[0] == joint and not v[1] for v in vs)]

    def loose(self) -> int:
        return sum(not v[1] for visits in self.visits.values() for v in visits)

    def _hold(self, joint: int) -> None:
        for visits in self.visits.values():
            for v in visits:
                if v[0] == joint:
                    v[1] = True
        self._settle()

    def lock(self, name: Hashable) -> None:
        joint = self.joint(name)
        self.actions.append(Action("lock", tuple(self.loose_at(joint)), joint, -1, self.row))
        self._hold(joint)

    def finish(self, *codes: str) -> None:
        for code in codes:
            self.actions.append(Action("finish", (code,), self.here(code), -1, self.row))

    def plan(self) -> Plan:
        n, m = len(self.joints), len(self.ends)
        where = []
        for name, j in self.joints.items():
            flat = isinstance(name, tuple) and len(name) == 2
            where.append((*map(float, name), 0.0) if flat else (float(j), 0.0, 0.0))
        net = Net(
            joints=points(where),
            ends=pairs(self.ends),
            lengths=whole(self.lengths),
            colours=tuple(self.colours),
            sizes=("260",) * m,
            kinds=tuple(self.kinds),
            joint_names=tuple(f"joint {i + 1}" for i in range(n)),
            bubble_names=tuple(f"bubble {i + 1}" for i in range(m)),
            bubble_panels=tuple(self.panels),
            places=pairs([(-1, -1)] * m),
            panels=tuple(dict.fromkeys(p for p in self.panels if p)),
        )
        return Plan(
            design_name="Harbour lantern",
            fingerprint="0" * 64,
            program="airweft",
            version="0",
            seed=0,
            style="pairs",
            hands=99,
            net=net,
            balloons=tuple(
                Balloon(
                    code=code,
                    colour=code[0],
                    size="260",
                    tail=17500,
                    start=self.visits[code][0][0],
                    bubbles=tuple(trail),
                )
                for code, trail in self.trails.items()
            ),
            budgets={"260": BUDGET},
            actions=tuple(self.actions),
            bound=Bound(balloons=1, reason="", proven=False),
            claims=Claims(
                joints=n,
                bubbles=m,
                balloons=len(self.trails),
                peak_loose=0,
                minutes_low=0,
                minutes_high=0,
                size_mm=(0.0, 0.0, 0.0),
            ),
        )


def sheet_in_pairs(columns: int, rows: int, *, mark: str = "R") -> Builder:
    """A sheet in the trade's way: pairs tied at (1, 0), (3, 0) ..., all advancing row by row.

    Balloon 2k + 1 takes the left side of strip k, balloon 2k + 2 its right side. A row makes the
    locks on two lattice lines: sideways between neighbours, then each pair again.
    """
    b = Builder()
    code = [f"{mark}{i + 1}" for i in range(columns)]
    for strip in range(columns // 2):
        b.tie(code[2 * strip], code[2 * strip + 1], (2 * strip + 1, 0))
    for y in range(1, rows, 2):
        meets = list(range(1, columns, 2))

        def side(x: int, y: int = y) -> None:
            b.twist(code[x - 1], (x, y))
            b.twist(code[x], (x, y))
            b.lock((x, y))

        def meet(x: int, y: int = y) -> None:
            if x == 1:
                b.twist(code[0], (0, y))
            b.twist(code[x - 1], (x, y + 1))
            if x == columns - 1:
                b.twist(code[x], (columns, y))
            b.twist(code[x], (x, y + 1))
            b.lock((x, y + 1))

        for x in range(2, columns, 2):
            side(x)
        for x in meets:
            meet(x)
        b.row += 1
    b.row -= 1
    b.finish(*code)
    return b


def tube_in_one(around: int, rings: int) -> Builder:
    """A tube of one long balloon going round and round: chains of two, each onto the ring below."""
    b = Builder()
    b.start("W1", (0, 0))
    for i in range(1, around):
        b.twist("W1", (i, 0))
    b.twist("W1", (0, 0))
    b.lock((0, 0))
    for ring in range(1, rings + 1):
        b.row += 1
        for i in range(around):
            b.twist("W1", (i, ring))
            b.twist("W1", ((i + 1) % around, ring - 1))
            b.lock(((i + 1) % around, ring - 1))
        if ring < rings:
            b.twist("W1", (0, ring))
            b.lock((0, ring))
    b.finish("W1")
    return b
