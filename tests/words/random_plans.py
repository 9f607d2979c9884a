"""Random plans for the round trip: any movements that hang together."""

from __future__ import annotations

from random import Random

from tests.words.builder import USUAL, Builder


def random_plan(seed: int, *, moves: int = 40) -> Builder:
    """A plan of about `moves` movements: walks of several balloons, locks, loops, free bubbles."""
    pick = Random(seed)
    b = Builder()
    working: list[str] = []
    hanging: set[int] = set()
    count = 0

    def code() -> str:
        nonlocal count
        count += 1
        return f"{pick.choice('RWw')}{count}"

    def fresh() -> str:
        return f"joint {len(b.joints)}"

    def known() -> list[str]:
        return [name for name, j in b.joints.items() if j not in hanging]

    def somewhere(chance_fresh: float) -> str:
        names = known()
        return fresh() if not names or pick.random() < chance_fresh else pick.choice(names)

    def length() -> int:
        return USUAL if pick.random() < 0.8 else pick.choice([2000, 3175, 2513, 12345])

    def begin() -> None:
        if pick.random() < 0.4:
            pair = code(), code()
            at = somewhere(0.5)
            existed = at in b.joints
            b.tie(*pair, at)
            if existed and pick.random() < 0.7:
                b.lock(at)
            working.extend(pair)
            return
        new = code()
        if pick.random() < 0.1 and known():
            at = pick.choice(known())
            if any(b.joint(at) in ends for ends in b.ends):
                start = fresh()
                b.start(new, start)
                hanging.add(b.joint(start))
                b.twist(new, at, kind="free", length=length())
                working.append(new)
                return
        b.start(new, somewhere(0.3))
        working.append(new)

    begin()
    for _ in range(moves):
        if pick.random() < 0.2:
            b.row += 1
        what = pick.random()
        if not working or what < 0.1:
            begin()
            continue
        now = pick.choice(working)
        if what < 0.6:
            for _ in range(pick.choice([1, 1, 1, 2, 2, 3])):
                b.twist(now, somewhere(0.6), length=length())
                if pick.random() < 0.1:
                    b.twist(now, _name(b, b.here(now)), length=length())
            if pick.random() < 0.6:
                b.lock(_name(b, b.here(now)))
        elif what < 0.75 and len(working) > 1:
            at = somewhere(0.7)
            for one in pick.sample(working, 2):
                b.twist(one, *[fresh() for _ in range(pick.choice([0, 0, 1]))], at)
            b.lock(at)
        elif what < 0.85:
            b.lock(pick.choice(known()))
        elif what < 0.92:
            b.twist(now, _name(b, b.here(now)), length=length())
            if pick.random() < 0.7:
                b.lock(_name(b, b.here(now)))
        elif what < 0.96:
            end = fresh()
            b.twist(now, end, kind="free", length=length(), hangs=True)
            hanging.add(b.joint(end))
            b.finish(now)
            working.remove(now)
        else:
            b.finish(now)
            working.remove(now)
    b.finish(*working)
    return b


def _name(b: Builder, joint: int) -> str:
    return next(name for name, j in b.joints.items() if j == joint)
