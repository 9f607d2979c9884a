"""A flat sheet: hangs upright and faces the viewer."""

from __future__ import annotations

from airweft.records.design import Sheet
from airweft.records.mesh import Mesh
from airweft.surface.lattice import Square, lattice_mesh
from airweft.surface.limits import cell_edge_mm, check_counts, check_total


def sheet_mesh(form: Sheet, *, bubble: int) -> Mesh:
    """`columns` / 2 by `rows` / 2 square cells in one panel, "sheet".

    Raises CannotMake on counts that are odd or too small.
    """
    check_counts({"columns": form.columns, "rows": form.rows}, form="sheet", bubble=bubble)
    check_total(form.columns * form.rows, form="sheet")
    squares = [
        Square("sheet", column, row, "front", (column, 0, row))
        for row in range(form.rows // 2)
        for column in range(form.columns // 2)
    ]
    return lattice_mesh(squares, panels=("sheet",), edge_mm=cell_edge_mm(bubble))
