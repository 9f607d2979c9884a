"""A net as springs: bubbles, wants of the joints, bodies in contact, floor and weight.

All springs act on differences that are linear in the positions, so one sparse matrix holds them:

    bubbles   1/2 (|b - a| - length)^2                        both ways, loops to their far tip
    corners   1/2 bend (|far - far'| - wanted)^2              the wanted angle as a distance
    straights 1/2 bend L^2 |(far - j)/l + (far' - j)/l'|^2    quadratic: no angle, no singular place
    bodies    1/2 contact (touching - distance)^2             only while pressed
    floor     1/2 contact (depth of a body below it)^2        only while pressed

A body is three balls on the axis at 1/4, 1/2 and 3/4 of the bubble, of radius (d/2) sin(pi s).
Lengths are in mean bubble lengths.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airweft.shape.joints import Wants
from airweft.shape.settings import Settings
from airweft.shape.sparse import Floats, Matrix, Whole, close_pairs, close_to, rows_of, turned

BALLS = (0.25, 0.5, 0.75)
GIRTH = (0.5**0.5, 1.0, 0.5**0.5)
"""Where the balls of a body lie on its axis, and sin(pi s) there."""
_SKIN = 0.3
_ALIKE = 1.5  # longest bubble for which bubbles count as alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Springs:
    """The springs that stay the same while the joints move; n points (joints and loops' tips).

    links (m, 2) points of each bubble; lengths, radii (m,); apart (r, n) takes positions to the
    differences of bubbles, then corners; back its transpose; rest, stiff (r,); bend (n, n) the
    force of the straights per position; mass (n,) evens out how fast points answer; load (n,)
    the share of the piece's weight on each point, 1 in all for a mean bubble each.
    """

    links: Whole
    lengths: Floats
    radii: Floats
    apart: Matrix
    back: Matrix
    rest: Floats
    stiff: Floats
    bend: Matrix
    mass: Floats
    load: Floats
    balls: Matrix
    ball_radii: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Contacts:
    """Balls near each other: `apart` (k, n) takes positions to differences, `touch` (k,)."""

    apart: Matrix
    back: Matrix
    touch: Floats
    bubbles: Whole


def springs_of(
    links: Whole, lengths: Floats, radii: Floats, wants: Wants, count: int, settings: Settings
) -> Springs:
    """The springs of a net of `count` points."""
    m = len(links)
    one = lengths[wants.corner_arms[:, 0]]
    two = lengths[wants.corner_arms[:, 1]]
    wanted = np.sqrt(np.maximum(one * one + two * two - 2 * one * two * wants.cosines, 0.0))
    ties = np.concatenate([links, wants.corners[:, 1:]])
    sign = np.tile(np.array([-1.0, 1.0]), (len(ties), 1))
    apart = rows_of(ties, sign, count)
    stiff = np.concatenate([np.ones(m), np.full(len(wanted), settings.bend)])
    p = lengths[wants.straight_arms[:, 0]]
    q = lengths[wants.straight_arms[:, 1]]
    mean = (p + q) / 2
    shape = np.stack([-(mean / p + mean / q), mean / p, mean / q], axis=1)
    lines = rows_of(wants.straights, shape, count)
    bend = (turned(lines) @ lines) * settings.bend
    bend.sort_indices()
    pull = np.zeros(count)
    np.add.at(pull, ties.ravel(), np.repeat(stiff, 2))
    pull += bend.diagonal()
    load = np.zeros(count)
    np.add.at(load, links.ravel(), np.repeat(lengths / 2, 2))
    balls, ball_radii = _balls(links, radii, count)
    return Springs(
        links=links,
        lengths=lengths,
        radii=radii,
        apart=apart,
        back=turned(apart),
        rest=np.concatenate([lengths, wanted]),
        stiff=stiff,
        bend=bend,
        mass=np.maximum(pull, 0.5) / 4,
        load=load,
        balls=balls,
        ball_radii=ball_radii,
    )


def _balls(links: Whole, radii: Floats, count: int) -> tuple[Matrix, Floats]:
    """The matrix that takes positions to ball centres, three to a bubble, and their radii."""
    columns = np.repeat(links, 3, axis=0)
    share = np.tile(np.array([[1 - s, s] for s in BALLS]), (len(links), 1))
    return rows_of(columns, share, count), (radii[:, None] * np.array(GIRTH)).ravel()


def contacts_near(springs: Springs, spots: Floats, settings: Settings) -> Contacts:
    """All pairs of balls of different bubbles that may touch before points move half the skin.

    Bubbles with a common joint touch with their middles only, and at most as far as the settings'
    `closest`; bubbles that join the same two joints not at all.
    """
    links, radii = springs.links, springs.ball_radii
    centres = springs.balls @ spots
    both = _bubbles_near(springs, centres)
    one, two = links[both[:, 0]], links[both[:, 1]]
    shared = (one[:, :, None] == two[:, None, :]).sum(axis=(1, 2))
    near, joined = both[shared == 0], both[shared == 1]
    pairs = [joined * 3 + 1]
    for p in range(3):
        pairs += [near * 3 + np.array([p, q]) for q in range(3)]
    balls = np.concatenate(pairs)
    touch = radii[balls[:, 0]] + radii[balls[:, 1]]
    lengths = springs.lengths[joined].sum(axis=1) / 2
    touch[: len(joined)] = np.minimum(touch[: len(joined)], settings.closest * lengths)
    gap = centres[balls[:, 1]] - centres[balls[:, 0]]
    keep = np.einsum("ij,ij->i", gap, gap) < (touch + _SKIN) ** 2
    balls, touch = balls[keep], touch[keep]
    at = np.array(BALLS)
    s, t = at[balls[:, 0] % 3], at[balls[:, 1] % 3]
    columns = np.concatenate([links[balls[:, 0] // 3], links[balls[:, 1] // 3]], axis=1)
    apart = rows_of(columns, np.stack([s - 1, -s, 1 - t, t], axis=1), spots.shape[0])
    return Contacts(apart=apart, back=turned(apart), touch=touch, bubbles=balls // 3)


def _bubbles_near(springs: Springs, centres: Floats) -> Whole:
    """Pairs of bubbles, in order, any balls of which may touch within the skin."""
    radii, lengths = springs.radii, springs.lengths
    broad, long = float(radii.max(initial=0.0)), float(lengths.max(initial=0.0))
    if long <= _ALIKE:
        # Seen from the middle: two outer balls, an outer and a middle one, two middle ones.
        reach = max(long / 2 + 2 * GIRTH[0] * broad, long / 4 + (1 + GIRTH[0]) * broad, 2 * broad)
        return close_pairs(centres[1::3], reach + _SKIN)
    # With bubbles of many lengths that would find far too many, so balls are compared at once; and
    # a few fat ones on their own, so that they do not widen the search for all.
    sizes = springs.ball_radii
    fat = sizes > 1.5 * float(np.median(sizes))
    slim, wide = np.flatnonzero(~fat), np.flatnonzero(fat)
    found = [slim[close_pairs(centres[slim], 2 * float(sizes[slim].max(initial=0.0)) + _SKIN)]]
    if len(wide):
        reach_of = sizes[wide] + float(sizes.max()) + _SKIN
        near = close_to(centres[wide], reach_of, centres)
        found.append(np.stack([wide[near[:, 0]], near[:, 1]], axis=1))
    pairs = np.sort(np.concatenate(found) // 3, axis=1)
    return np.unique(pairs[pairs[:, 0] != pairs[:, 1]], axis=0)


def skin() -> float:
    """How far points may move in all (twice over) before the contacts have to be found anew."""
    return _SKIN / 2


def forces(
    springs: Springs, contacts: Contacts, spots: Floats, extra: Floats, settings: Settings
) -> Floats:
    """The force on every point, (n, 3), without floor and weight; `extra` (m,) is added length."""
    d = springs.apart @ spots
    far = np.sqrt(np.einsum("ij,ij->i", d, d))
    rest = springs.rest.copy()
    rest[: len(extra)] += extra
    pull = springs.stiff * (1 - rest / np.maximum(far, 1e-9))
    total: Floats = -(springs.back @ (pull[:, None] * d)) - springs.bend @ spots
    if len(contacts.touch):
        d = contacts.apart @ spots
        far = np.sqrt(np.einsum("ij,ij->i", d, d))
        push = settings.contact * np.maximum(contacts.touch / np.maximum(far, 1e-9) - 1, 0.0)
        total += contacts.back @ (push[:, None] * d)
    return total
