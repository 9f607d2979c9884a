"""The softest ways in which a piece can move: contact and tight joints taken as springs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.records.arrays import pairs, points, whole
from airweft.records.net import Net
from airweft.records.shape import Shape, SoftMode, Softness
from airweft.shape.advice import advice, stalk_advice, stalk_panels
from airweft.shape.joints import wants_of
from airweft.shape.model import Springs, contacts_near, springs_of
from airweft.shape.settings import Settings
from airweft.shape.sparse import Floats, Matrix, Whole, gram, lowest, part_of, rows_of, threefold

_LIFT = 1e-7  # keeps the stiffness from being singular; the softest modes are far stiffer
_TOUCHING = 0.01  # bodies this near, in bubble lengths, count as pressed together
_FARTHEST = 99.0  # more than this says nothing but that hardly anything resists
_MOVES_MUCH = 0.5  # joints that move at least half as far as the farthest are named


def softest(
    net: Net, shape: Shape, *, count: int = 3, settings: Settings | None = None, seed: int = 0
) -> Softness:
    """The `count` softest ways in which `net` in this shape can move, and advice.

    Loops and hanging bubbles are left out, and of several parts all but the largest; so are the
    six ways of moving as a whole. Where a stalk is the softest, that is told, and the ways are
    those of the fabric without its stalks. Moves are those of small motions: they say where and
    which way, not how far. Pieces with symmetry have several equally soft ways; one is shown.
    About 7 s for 20,000 bubbles.
    """
    settings = settings or Settings()
    stalks = stalk_panels(net)
    found = _softest(net, shape, frozenset(), count, settings, seed)
    if not found.modes or stalks.isdisjoint(found.modes[0].panels[:1]):
        return found
    rest = _softest(net, shape, stalks, count, settings, seed)
    return replace(rest, findings=(*stalk_advice(net, found.modes[0]), *rest.findings))


def _softest(
    net: Net,
    shape: Shape,
    without: frozenset[str],
    count: int,
    settings: Settings,
    seed: int,
) -> Softness:
    """The softest ways of the net without the panels that are left out."""
    used, core = _core(net, shape.positions, without)
    nothing = Softness(modes=())
    if len(used) < 3 or core.bubble_count < 2:
        return nothing
    unit = float(np.median(core.lengths)) / 100
    lengths = np.maximum(core.lengths / 100 / unit, 0.05)
    spots = np.asarray(core.joints) / unit
    broad = np.array(shape.diameters)[_kept_bubbles(net, used, without)] / unit / 2
    wants = wants_of(core, spots, core.ends)
    springs = springs_of(core.ends, lengths, broad, wants, len(spots), settings)
    stiffness = _stiffness(springs, spots, settings)
    free = 3 * len(spots) - 6
    if free < 2:
        return nothing
    count = min(count, free - 1)
    start = np.random.default_rng(seed).uniform(-1, 1, 3 * len(spots))
    if 3 * len(spots) <= 60:
        values, vectors = _dense(stiffness, _whole_moves(spots), count)
    else:
        values, vectors = lowest(stiffness, _whole_moves(spots), count, start=start, lift=_LIFT)
    weight = settings.weight * float(springs.load.sum())
    modes = tuple(
        _mode(net, used, float(value), vectors[:, k].reshape(-1, 3), weight)
        for k, value in enumerate(values.tolist())
    )
    return Softness(modes=modes, findings=advice(net, modes))


def _kept_bubbles(net: Net, used: Whole, without: frozenset[str]) -> Whole:
    """Bubbles between two different joints of `used` that do not hang free."""
    inside = np.isin(net.ends, used).all(axis=1) & (net.ends[:, 0] != net.ends[:, 1])
    inside &= np.array([kind not in ("free", "loop") for kind in net.kinds], dtype=bool)
    if without:
        inside &= np.array([panel not in without for panel in net.bubble_panels], dtype=bool)
    return np.flatnonzero(inside)


def _core(net: Net, spots: Floats, without: frozenset[str]) -> tuple[Whole, Net]:
    """The joints of the largest part, and that part as a net of its own."""
    held = _kept_bubbles(net, np.arange(net.joint_count), without)
    if not len(held):
        return np.zeros(0, dtype=np.int64), net
    part = part_of(net.ends[held], net.joint_count)
    main = int(np.bincount(part[net.ends[held, 0]]).argmax())
    used = np.flatnonzero(part == main)
    kept = _kept_bubbles(net, used, without)
    new_joint = np.full(net.joint_count, -1, dtype=np.int64)
    new_joint[used] = np.arange(len(used))
    new_bubble = np.full(net.bubble_count, -1, dtype=np.int64)
    new_bubble[kept] = np.arange(len(kept))
    cells = tuple(
        replace(
            cell,
            joints=tuple(new_joint[list(cell.joints)].tolist()),
            bubbles=tuple(new_bubble[list(cell.bubbles)].tolist()),
        )
        for cell in net.cells
        if (new_joint[list(cell.joints)] >= 0).all() and (new_bubble[list(cell.bubbles)] >= 0).all()
    )
    rows = kept.tolist()
    return used, replace(
        net,
        joints=points(spots[used]),
        ends=pairs(new_joint[net.ends[kept]]),
        lengths=whole(net.lengths[kept]),
        colours=tuple(net.colours[b] for b in rows),
        sizes=tuple(net.sizes[b] for b in rows),
        kinds=tuple(net.kinds[b] for b in rows),
        joint_names=tuple(net.joint_names[j] for j in used.tolist()),
        bubble_names=tuple(net.bubble_names[b] for b in rows),
        bubble_panels=tuple(net.bubble_panels[b] for b in rows),
        places=pairs(net.places[kept]),
        cells=cells,
        seams=(),
    )


def _stiffness(springs: Springs, spots: Floats, settings: Settings) -> Matrix:
    """The stiffness (3n, 3n) of bubbles, corners, straights and pressed bodies, no prestress."""
    near = contacts_near(springs, spots, settings)
    d = near.apart @ spots
    pressed = np.flatnonzero(np.sqrt((d * d).sum(axis=1)) < near.touch + _TOUCHING)
    rows = _lengthwise(springs.apart, spots)
    total = gram(rows, springs.stiff) + threefold(springs.bend)
    if len(pressed):
        touching = _lengthwise(near.apart[pressed], spots)
        total = total + gram(touching, np.full(len(pressed), settings.contact))
    return total.tocsr()


def _lengthwise(apart: Matrix, spots: Floats) -> Matrix:
    """Rows that take moves (3n,) to changes of distance, for differences `apart` (r, n)."""
    d = apart @ spots
    unit = d / np.maximum(np.sqrt((d * d).sum(axis=1)), 1e-9)[:, None]
    each = int(apart.indptr[1]) if apart.shape[0] else 2
    columns = apart.indices.reshape(-1, each).astype(np.int64)
    values = apart.data.reshape(-1, each)
    wide = (columns[:, :, None] * 3 + np.arange(3)).reshape(len(columns), -1)
    return rows_of(
        wide, (values[:, :, None] * unit[:, None, :]).reshape(len(columns), -1), 3 * len(spots)
    )


def _whole_moves(spots: Floats) -> Floats:
    """The ways (3n, 6) of moving as a whole, at right angles to each other and of length 1."""
    about = spots - spots.mean(axis=0)
    shifts = [np.tile(axis, (len(spots), 1)) for axis in np.eye(3)]
    turns = [np.cross(axis, about) for axis in np.eye(3)]
    all_six = np.stack([move.ravel() for move in (*shifts, *turns)], axis=1)
    u, s, _ = np.linalg.svd(all_six, full_matrices=False)
    kept: Floats = u[:, s > 1e-9 * s[0]]
    return kept


def _dense(stiffness: Matrix, barred: Floats, count: int) -> tuple[Floats, Floats]:
    """As `lowest`, by a full decomposition: for a handful of joints."""
    keep = np.eye(len(barred)) - barred @ barred.T
    values, vectors = np.linalg.eigh(keep @ stiffness.toarray() @ keep + barred @ barred.T * 1e6)
    return values[:count], vectors[:, :count]


def _mode(net: Net, used: Whole, value: float, moves: Floats, weight: float) -> SoftMode:
    far = np.sqrt((moves * moves).sum(axis=1))
    first = int(np.argmax(np.round(far, 9)))
    largest = int(np.argmax(np.round(np.abs(moves[first]), 9)))
    moves = moves * (np.sign(moves[first, largest]) / max(float(far[first]), 1e-12))
    everywhere = np.zeros((net.joint_count, 3))
    everywhere[used] = np.round(moves, 9)
    order = np.argsort(-np.round(far, 6), kind="stable")
    named = [int(used[k]) for k in order.tolist() if far[k] >= _MOVES_MUCH * far[first]]
    value = max(value, 1e-12)
    return SoftMode(
        moves=points(everywhere),
        stiffness=value,
        give=min(_FARTHEST, weight * float(far[first]) ** 2 / value),
        joints=tuple(named),
        panels=_panels(net, everywhere),
    )


def _panels(net: Net, moves: Floats) -> tuple[str, ...]:
    """Panels that hold more than their share of the motion, most first."""
    motion = (moves[net.ends] ** 2).sum(axis=(1, 2))
    mean = float(motion.mean()) if len(motion) else 0.0
    shares: dict[str, list[float]] = {}
    for panel, amount in zip(net.bubble_panels, motion.tolist(), strict=True):
        if panel:
            shares.setdefault(panel, []).append(amount)
    means = {panel: sum(amounts) / len(amounts) for panel, amounts in shares.items()}
    strong = [panel for panel in means if means[panel] > mean * 1.2]
    return tuple(sorted(strong, key=lambda panel: (-round(means[panel], 9), panel)))
