"""Several wished orders put together into one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise


class BadOrder(Exception):
    """The orders contradict each other: `first` is to come before `later` and after it."""

    def __init__(self, first: str, later: str) -> None:
        super().__init__(f"{first} before {later}, and after it")
        self.first = first
        self.later = later


def merged(
    orders: Sequence[Sequence[str]], *, one_by_one: Callable[[str], int] | None = None
) -> dict[str, int]:
    """A number for each word, rising along every order. Raises BadOrder where there is none.

    Words share a number where they can: each has the least one above all that come before it. With
    `one_by_one` every word has a number of its own, and of those that may come next the one with
    the least value comes first.

    >>> merged([("B", "R"), ("W", "R")])
    {'B': 0, 'W': 0, 'R': 1}
    >>> merged([("B", "R"), ("W", "R")], one_by_one=len)
    {'B': 0, 'W': 1, 'R': 2}
    """
    before: dict[str, set[str]] = {word: set() for order in orders for word in order}
    for order in orders:
        for first, later in pairwise(order):
            before[later].add(first)
    number: dict[str, int] = {}
    while len(number) < len(before):
        ready = [w for w in before if w not in number and before[w] <= number.keys()]
        if not ready:
            raise BadOrder(*_clash(before, orders))
        if one_by_one is not None:
            number[min(ready, key=one_by_one)] = len(number)
        else:
            rank = 1 + max(number.values(), default=-1)
            number.update(dict.fromkeys(ready, rank))
    return number


def _clash(before: dict[str, set[str]], orders: Sequence[Sequence[str]]) -> tuple[str, str]:
    """Two words of the last order of which the second also has to come before the first."""

    def reaches(start: str, goal: str) -> bool:
        """True if `start` comes before `goal` along the wishes."""
        seen, todo = {goal}, [goal]
        while todo:
            for word in sorted(before[todo.pop()]):
                if word == start:
                    return True
                if word not in seen:
                    seen.add(word)
                    todo.append(word)
        return False

    for order in reversed(orders):
        for first, later in pairwise(order):
            if reaches(later, first):
                return first, later
    raise ValueError("the orders do not contradict each other")
