"""The catalogue of phrases: every word that the instructions print stands here, once.

Small functions put numbers and codes in; the reader of the text (read_back) takes its key words
from the same lists.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
TIMES = {"once": 1, "twice": 2}
KINDS = {"bubble": ("bubble", "bubbles"), "loop": ("loop", "loops")}
FREE = ("free bubble", "free bubbles")
DOTS = "…"
# Longer lists of waiting balloons are told by their number.
MOST_ITEMS = 8


def number(n: int) -> str:
    """A number in words up to twelve, in digits beyond: 4 -> "four"."""
    return NUMBERS[n] if 0 <= n < len(NUMBERS) else str(n)


def times(n: int) -> str:
    """How often: "once", "twice", "five times"."""
    return {1: "once", 2: "twice"}.get(n, f"{number(n)} times")


def more_times(n: int) -> str:
    """How often again: "once more", "twice more", "five more times"."""
    return {1: "once more", 2: "twice more"}.get(n, f"{number(n)} more times")


def listed(items: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def sentence(text: str) -> str:
    """The text with a capital letter and a full stop. Codes keep their own letters."""
    return f"{text[:1].upper()}{text[1:]}."


_CODE = re.compile(r"(.*?)(\d+)")


def code_parts(code: str) -> tuple[str, int] | None:
    """A code's mark and number, or None for codes that do not end in a plain number."""
    match = _CODE.fullmatch(code)
    if match is None or match[2] != str(int(match[2])):
        return None
    return match[1], int(match[2])


def code_key(code: str) -> tuple[str, int, str]:
    """Sorting key of a code: by mark, then by number."""
    parts = code_parts(code)
    return (code, 0, "") if parts is None else (parts[0], parts[1], code)


def code_range(first: str, last: str) -> list[str] | None:
    """The codes from `first` to `last` counting up, or None if they are no such range."""
    a, b = code_parts(first), code_parts(last)
    if a is None or b is None or a[0] != b[0] or b[1] <= a[1]:
        return None
    return [f"{a[0]}{n}" for n in range(a[1], b[1] + 1)]


def code_items(codes: Sequence[str]) -> list[str]:
    """Codes with three or more in counting order drawn together: "R1 to R6", "W2"."""
    items: list[str] = []
    i = 0
    while i < len(codes):
        j = i
        while j + 1 < len(codes) and code_range(codes[j], codes[j + 1]) == [codes[j], codes[j + 1]]:
            j += 1
        if j - i >= 2:
            items.append(f"{codes[i]} to {codes[j]}")
            i = j + 1
        else:
            items.append(codes[i])
            i += 1
    return items


def codes_text(codes: Sequence[str]) -> str:
    """Codes as a list with ranges: "R1 to R6 and W2"."""
    return listed(code_items(codes))


def run_text(count: int, made: str, length: str) -> str:
    """Bubbles of one kind: "two bubbles", "one loop of 3 cm"."""
    names = FREE if made == "free" else KINDS[made]
    said = f"{number(count)} {names[0] if count == 1 else names[1]}"
    return f"{said} of {length}" if length else said


def tie_pairs(pairs: Sequence[str]) -> str:
    """Fresh pairs, each written by `pair`."""
    return sentence(f"tie {_with_dots(pairs)}, nozzle to nozzle")


def tie_pairs_at(pairs: Sequence[str], locks: str) -> str:
    """Fresh pairs whose knots lie at joints that exist; `locks` is what is said of their locks."""
    return sentence(f"tie {listed(pairs)}, nozzle to nozzle{locks}")


def pair_at(first: str, second: str, at: str) -> str:
    """A fresh pair and the joint of its knot."""
    return f"{first} to {second} at {at}"


def lock_knots(count: int) -> str:
    """The knots of pairs are locked onto what lies there."""
    return f", and lock the {'knot' if count == 1 else 'knots'} on"


def onto(what: str, at: str) -> str:
    """A balloon or a pair and the joint it is locked onto."""
    return f"{what} onto {at}"


def tie_on(pairs: Sequence[tuple[str, str]]) -> str:
    """Fresh balloons tied on: code and joint of each."""
    return sentence(f"tie on {listed([f'{code} at {at}' for code, at in pairs])}")


def begin(code: str) -> str:
    """A fresh balloon that is tied to nothing yet."""
    return sentence(f"begin {code} alone")


def tie_off(codes: Sequence[str]) -> str:
    """Balloons that are cut and tied off."""
    return sentence(f"tie off {codes_text(codes)}")


def one_each(pairs: Sequence[str]) -> str:
    """One bubble of each of two balloons, locked together; several pairs in a sentence."""
    return sentence(f"one bubble each: lock {_with_dots(pairs)}")


def join(joints: Sequence[str]) -> str:
    """Joints of different people's parts laid on each other and locked, each written by `meet`."""
    return sentence(f"join {_with_dots(joints)}")


def meet(names: Sequence[str]) -> str:
    """The names of one joint from each part that has it: "R1.5 to R9.3"."""
    return " to ".join(names)


def lock_at(at: str) -> str:
    """A lock of what lies there."""
    return f"lock at {at}"


LOCK_TOGETHER = "lock together"
LOCK_IN_PLACE = "lock in place"


def lock_onto(at: str, *, several: bool) -> str:
    """The end of a movement that lands on a joint and is locked there; on another each time."""
    return f"lock {'in turn ' if several else ''}onto {at}"


def lay_to(at: str) -> str:
    """The end of a movement that lands on a joint and is not locked yet."""
    return f"to {at}"


def naming(codes: Sequence[str]) -> str:
    """The balloons a lock names, where they are not just the loose ones."""
    return f"(locks {listed(codes) if codes else 'none'})"


def movements(body: str, *, named: bool) -> str:
    """A sentence of movements; one that begins with a balloon's code keeps the code's letters."""
    return f"{body}." if named else sentence(body)


def repeated(n: int, body: str) -> str:
    """Movements done n times in all."""
    return sentence(f"{times(n)}: {body}")


def rows_named(first: int, last: int) -> str:
    """ "row 3", "rows 3 and 4", "rows 3 to 12"."""
    if first == last:
        return f"row {first}"
    return f"rows {first} {'and' if last == first + 1 else 'to'} {last}"


def row_title(first: int, last: int, places: Sequence[str], chapter: str = "") -> str:
    """A step's title: whose part it is, its rows, and the panels it works on."""
    rows = rows_named(first, last)
    rows = f"{chapter}, {rows}" if chapter else f"{rows[:1].upper()}{rows[1:]}"
    return f"{rows}{', ' + listed(places) if places else ''}"


def repeat_rows(
    first: int, last: int, again: int, names: Sequence[str], shifts: Sequence[str]
) -> str:
    """Rows done again, `again` times beyond the time before."""
    text = f"repeat {rows_named(first, last)} {more_times(again)}"
    if names:
        text += f", with {', and '.join(names)}"
    return sentence(f"{text}; each time count {listed(shifts)}" if shifts else text)


def as_rows(first: int, last: int, swaps: Sequence[str], shifts: Sequence[str]) -> str:
    """Rows done like earlier ones, by other balloons or further on."""
    text = f"work as in {rows_named(first, last)}"
    if swaps:
        text += f", with {listed(swaps)}"
    if shifts:
        text += f"; count {listed(shifts)}"
    return sentence(text)


def swap(new: str, old: str) -> str:
    """One balloon, or a range of them, in the place of another."""
    return f"{new} for {old}"


def instead(new: str, old: str, *, several: bool) -> str:
    """A joint, or one for each time, in the place of another."""
    return f"{new} {'in turn ' if several else ''}for {old}"


def shift(amount: int, codes: Sequence[str]) -> str:
    """Joint names that count on: "two further on R6", "two back on R12"."""
    return f"{number(abs(amount))} {'further' if amount > 0 else 'back'} on {codes_text(codes)}"


def pair(first: str, second: str, word: str) -> str:
    """A pair: "R1 to R2" for a tie, "R2 with R3" for a lock."""
    return f"{first} {word} {second}"


def _with_dots(pairs: Sequence[str]) -> str:
    """Pairs as a list; items that are dots already stand without commas around them."""
    if DOTS in pairs:
        return ", ".join(pairs).replace(f", {DOTS}, ", f" {DOTS} ")
    return listed(pairs)


# What a step's check says.


def check_joined(done: int, whole: int) -> str:
    """Joints at which parts are joined so far."""
    return f"{done} of {whole} joints joined"


def check_bubbles(done: int, whole: int, each: int, rounds: int, part: str = "") -> str:
    """Bubbles on the piece, or on one person's part, so far, and how many each repeat adds."""
    text = f"{done} of {whole} bubbles{f' of {part}' if part else ''}"
    return f"{text}, {each} more each time" if rounds > 1 else text


def check_balloon(made: int, codes: Sequence[str]) -> str:
    """How many bubbles the balloons have that worked in the step."""
    return f"{made} on {'each of ' if len(codes) > 1 else ''}{codes_text(codes)}"


def check_waiting(codes: Sequence[str]) -> str:
    """Balloons that hang unfinished."""
    if not codes:
        return "no balloon left hanging"
    if len(code_items(codes)) > MOST_ITEMS:
        return f"still hanging: {len(codes)} balloons"
    return f"still hanging: {codes_text(codes)}"


def check_loose(count: int) -> str:
    """Loose twists to be held."""
    if count == 0:
        return "no loose twist"
    return f"{number(count)} loose {'twist' if count == 1 else 'twists'}, hold on"


def check(parts: Sequence[str]) -> str:
    """The whole check."""
    return f"Check: {'; '.join(parts)}."
