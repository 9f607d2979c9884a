"""Where the ink is: the paths of a PDF page in millimetres, by following its own operators.

Only what is needed for measuring: matrices (q, Q, cm), and the points of paths (m, l, c, re, h).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from pypdf import PageObject
from pypdf.generic import ContentStream

MM = 25.4 / 72  # one point in mm: a point is 1/72 in (ISO 32000-1, 8.3.2.3)

Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Path:
    """One painted path: its subpaths as lists of points, in mm from the page's lower left."""

    subpaths: tuple[tuple[tuple[float, float], ...], ...]
    painted: str

    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top."""
        xs = [x for sub in self.subpaths for x, _ in sub]
        ys = [y for sub in self.subpaths for _, y in sub]
        return min(xs), min(ys), max(xs), max(ys)

    def size(self) -> tuple[float, float]:
        """Width and height."""
        left, bottom, right, top = self.box()
        return right - left, top - bottom

    def uprights(self) -> list[float]:
        """The x of every vertical straight line of the path, sorted."""
        found = []
        for sub in self.subpaths:
            for (x0, y0), (x1, y1) in pairwise(sub):
                if abs(x0 - x1) < 1e-3 and abs(y0 - y1) > 1:
                    found.append(x0)
        return sorted(found)


def paths(page: PageObject) -> list[Path]:
    """Every painted path of a page, in painting order."""
    found: list[Path] = []
    stack: list[Matrix] = []
    matrix: Matrix = (1, 0, 0, 1, 0, 0)
    subs: list[list[tuple[float, float]]] = []

    def at(x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = matrix
        return (a * x + c * y + e) * MM, (b * x + d * y + f) * MM

    for operands, operator in ContentStream(page["/Contents"].get_object(), page.pdf).operations:
        name = operator.decode()
        values = [float(v) for v in operands] if name in ("cm", "m", "l", "c", "re") else []
        if name == "q":
            stack.append(matrix)
        elif name == "Q":
            matrix = stack.pop()
        elif name == "cm":
            matrix = _times(values, matrix)
        elif name == "m":
            subs.append([at(*values)])
        elif name == "l":
            subs[-1].append(at(*values))
        elif name == "c":
            subs[-1].append(at(*values[4:]))
        elif name == "re":
            x, y, w, h = values
            subs.append([at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h), at(x, y)])
        elif name == "h" and subs:
            subs[-1].append(subs[-1][0])
        elif name in ("S", "s", "f", "f*", "B", "B*", "b", "b*", "n"):
            if subs and name != "n":
                found.append(Path(tuple(tuple(sub) for sub in subs), name))
            subs = []
    return found


def _times(first: list[float], then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )
