"""The flat chart of a net, packed for the browser: outlines, names, numbers and cuts.

Lengths are in columns, x to the right and y down from the upper left of the whole chart.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from airweft.draw.body import Outlines
from airweft.draw.patch import Patch, flat
from airweft.draw.patchwork import patch_outlines
from airweft.draw.table import meeting, panel_title, set_out, sheet_outlines
from airweft.draw.unfold import SIDES, Sheet
from airweft.records.design import Colour
from airweft.records.net import Net
from airweft.web.view.pack import Pack, array, lines, pack_colours

_MARGIN = 2.2  # columns around the chart, for numbers and names


def pack_chart(net: Net, palette: Iterable[Colour], *, name: str = "") -> Pack:
    """The same chart as on paper. A bare frame has none: its `counts` say 0 charted bubbles."""
    laid = flat(net)
    found = _Found()
    box = (0.0, 0.0, 0.0, 0.0)
    if laid.sheets or laid.patches:
        table = set_out(net, laid)
        box = table.box
        left, high = box[0], box[3]
        for sheet in laid.sheets:
            x, y = table.sheets[sheet.name]
            found.add_sheet(sheet, table.loops[sheet.name], (x - left, high - y), laid.numbers)
        for (x, y), patch in zip(table.patches, laid.patches, strict=True):
            loops = table.patch_loops[patch.name]
            found.add_patch(patch, loops, (x - left, high - y), laid.numbers)
    bubbles, parts, rows = found.first_places()
    data = {
        "kind": "chart",
        "name": name,
        "counts": {
            "joints": net.joint_count,
            "bubbles": net.bubble_count,
            "charted": len(bubbles),
        },
        **pack_colours(palette, net.colours),
        "bubbleOf": array(bubbles, "<i4"),
        "spots": array(rows, "<f4"),
        "partOf": array(parts, "<u2"),
        "jointOf": array([joint for joint, _, _, _ in found.joints], "<i4"),
        "jointPart": array([part for _, part, _, _ in found.joints], "<u2"),
        "jointSpots": array([(x, y) for _, _, x, y in found.joints], "<f4"),
        "plates": found.plates,
        "parts": found.parts,
        "wide": round(box[2] - box[0] + 2 * _MARGIN, 3),
        "high": round(box[3] - box[1] + 2 * _MARGIN, 3),
        "bubbleNames": lines(net.bubble_names),
        "jointNames": lines(net.joint_names),
    }
    return Pack(data, net.bubble_names, net.joint_names)


class _Found:
    """What is drawn, gathered part by part."""

    def __init__(self) -> None:
        self.places: dict[int, tuple[int, list[float]]] = {}  # of each bubble its part and outline
        self.joints: list[tuple[int, int, float, float]] = []
        self.plates: list[tuple[str, int, float, float]] = []
        self.parts: list[dict[str, Any]] = []

    def add_sheet(
        self,
        sheet: Sheet,
        loops: list[tuple[int, int, int]],
        corner: tuple[float, float],
        numbers: dict[int, int],
    ) -> None:
        x, y = corner[0] + _MARGIN, corner[1] + _MARGIN
        self._add([b for b, _, _ in (*sheet.bubbles, *loops)],
                  sheet_outlines(sheet, loops, (x, y), 1.0))  # fmt: skip
        for joint, (dx, dy) in sheet.joints.items():
            self._add_joint(joint, x + dx, y - dy, x + dx, y - dy, numbers)
        self.parts.append(
            {
                "name": panel_title(sheet.name),
                "box": [x, y - sheet.rows, float(sheet.columns), float(sheet.rows)],
                "columns": sheet.columns,
                "rows": [[str(r + 1), x, y - r - 0.5] for r in range(sheet.rows)],
                "meets": {side: meeting(sheet, side) for side in SIDES if meeting(sheet, side)},
            }
        )

    def add_patch(
        self,
        patch: Patch,
        loops: list[tuple[int, tuple[float, float]]],
        corner: tuple[float, float],
        numbers: dict[int, int],
    ) -> None:
        x, y = corner[0] + _MARGIN, corner[1] + _MARGIN
        self._add([*(b for b, _, _ in patch.bubbles), *(b for b, _ in loops)],
                  patch_outlines(patch, loops, (x, y), 1.0))  # fmt: skip
        for (joint, (jx, jy)), (_, (px, py)) in zip(patch.joints, patch.plates, strict=True):
            self._add_joint(joint, x + jx, y - jy, x + px, y - py, numbers)
        self.parts.append(
            {
                "name": panel_title(patch.name),
                "box": [x, y - patch.high, patch.wide, patch.high],
                "columns": 0,
                "rows": [[text, x + at - 0.3, y - up] for text, (at, up) in patch.rows],
                "meets": {},
            }
        )

    def _add_joint(
        self, joint: int, x: float, y: float, px: float, py: float, numbers: dict[int, int]
    ) -> None:
        part = len(self.parts)
        self.joints.append((joint, part, x, y))
        if joint in numbers:
            self.plates.append((str(numbers[joint]), part, round(px, 3), round(py, 3)))

    def _add(self, bubbles: list[int], shape: Outlines) -> None:
        """Each bubble once, at the place that is found first."""
        rows = np.column_stack([shape.centres, shape.axes, shape.majors, shape.minors])
        for bubble, row in zip(bubbles, rows.tolist(), strict=True):
            self.places.setdefault(bubble, (len(self.parts), row))

    def first_places(self) -> tuple[list[int], list[int], list[list[float]]]:
        """The charted bubbles with part and outline, in the order of drawing."""
        places = self.places.values()
        return list(self.places), [part for part, _ in places], [row for _, row in places]
