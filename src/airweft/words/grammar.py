"""The instructions' sentences taken apart: text -> movements and folds."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace

from airweft.base.errors import BadInput
from airweft.base.units import NotALength, read_length
from airweft.words import phrases
from airweft.words.movements import Group, Made, Movement, Ref, Run
from airweft.words.said import FoldCall, Said, trouble

_TOKEN = re.compile(r"[;,:…()]|[^\s;,:…()]+")
_NUMBER = {word: n for n, word in enumerate(phrases.NUMBERS)}
_UNITS = ("mm", "cm", "in")


def read_text(text: str, codes: Collection[str], step: int) -> list[Said]:
    """What the text of one step says, in order. Raises BadInput with the step and the word."""
    said: list[Said] = []
    for sentence in re.split(r"(?<=\.)\s+", text.strip()):
        if sentence:
            said += Sentence(sentence, codes, step).read()
    return said


class Sentence:
    """One sentence and how far it is read."""

    def __init__(self, text: str, codes: Collection[str], step: int) -> None:
        self.codes = codes
        self.step = step
        self.at = 0
        if not text.endswith("."):
            raise trouble(step, text.split()[-1], "the sentence has no full stop")
        self.tokens = _TOKEN.findall(text[:-1])

    def read(self) -> list[Said]:
        """Everything the sentence says."""
        if self.peek() in self.codes:
            said = self._movements(1)
        else:
            said = self._worded()
        if self.at < len(self.tokens):
            raise self.wrong("nothing more was expected here")
        return said

    # Small steps.

    def peek(self, ahead: int = 0) -> str:
        """The next word, or "" at the end."""
        at = self.at + ahead
        return self.tokens[at] if at < len(self.tokens) else ""

    def take(self) -> str:
        """The next word, read."""
        word = self.peek()
        self.at += 1
        return word

    def has(self, *words: str) -> bool:
        """Read these words if they come next, capital or not."""
        if all(self.peek(i).lower() == word.lower() for i, word in enumerate(words)):
            self.at += len(words)
            return True
        return False

    def need(self, *words: str) -> None:
        """These words must come next."""
        for word in words:
            if not self.has(word):
                raise self.wrong(f"“{word}” was expected here")

    def wrong(self, what: str) -> BadInput:
        """The error for the next word."""
        return trouble(self.step, self.peek() or "the end of the sentence", what)

    def more(self) -> bool:
        """Read a comma or "and" between the items of a list."""
        return self.has(",") or self.has("and")

    # Small parts.

    def _number(self) -> int:
        word = self.peek().lower()
        if word in _NUMBER or word.isdecimal():
            self.at += 1
            return _NUMBER[word] if word in _NUMBER else int(word)
        raise self.wrong("a number was expected here")

    def _is_number(self) -> bool:
        return self.peek().lower() in _NUMBER or self.peek().isdecimal()

    def _code(self) -> str:
        if self.peek() not in self.codes:
            raise self.wrong("a balloon of the list was expected here")
        return self.take()

    def _codes(self) -> list[str]:
        """One code, or a range of codes that count up."""
        first = self._code()
        if self.peek() == "to" and phrases.code_parts(self.peek(1)):
            self.at += 1
            codes = phrases.code_range(first, self.peek())
            if codes is None or any(code not in self.codes for code in codes):
                raise self.wrong(f"{first} to {self.peek()} is no range of balloons of the list")
            self.at += 1
            return codes
        return [first]

    def _code_list(self) -> list[str]:
        codes = self._codes()
        while self.peek() in (",", "and") and self.peek(1) in self.codes:
            self.at += 1
            codes += self._codes()
        return codes

    def _is_ref(self, word: str) -> bool:
        code, dot, count = word.rpartition(".")
        return bool(dot) and code in self.codes and count.isdecimal()

    def _ref(self) -> Ref:
        if not self._is_ref(self.peek()):
            raise self.wrong("a joint such as R1.5 was expected here")
        code, _, count = self.take().rpartition(".")
        return Ref(code, int(count))

    def _refs(self) -> list[Ref]:
        """Joints in order; dots stand for even counting from the two before to the one after."""
        refs = [self._ref()]
        while True:
            if self.has(phrases.DOTS):
                last = self._ref()
                refs += self._between(refs, last)
            elif self.peek() == "," and self._is_ref(self.peek(1)):
                self.at += 1
                refs.append(self._ref())
            else:
                return refs

    def _between(self, refs: list[Ref], last: Ref) -> list[Ref]:
        if len(refs) > 1 and refs[-1].balloon == refs[-2].balloon == last.balloon:
            step = refs[-1].count - refs[-2].count
            gap = last.count - refs[-1].count
            if step and gap % step == 0 and gap // step > 0:
                return [
                    Ref(last.balloon, refs[-1].count + step * n) for n in range(1, gap // step + 1)
                ]
        self.at -= 1
        raise self.wrong("this does not go on as the joints before it begin")

    # Sentences.

    def _worded(self) -> list[Said]:
        """Sentences that begin with a word and not with a code."""
        if self.has("tie", "on"):
            return self._tie_on()
        if self.has("tie", "off"):
            return [Movement(do="finish", balloons=(code,)) for code in self._code_list()]
        if self.has("tie"):
            return self._ties()
        if self.has("join"):
            return [Movement(do="join", at=names, locks=True) for names in self._meetings()]
        if self.has("begin"):
            code = self._code()
            self.need("alone")
            return [Movement(do="start", balloons=(code,))]
        if self.has("one", "bubble", "each", ":"):
            self.need("lock")
            return list(self._each())
        if self.has("repeat"):
            return [self._again()]
        if self.has("work", "as", "in"):
            return [self._like()]
        if self.peek() == "Lock":
            return self._movements(1)
        return self._repeated()

    def _repeated(self) -> list[Said]:
        times = phrases.TIMES.get(self.peek().lower(), 0)
        if times:
            self.at += 1
        else:
            times = self._number()
            self.need("times")
        self.need(":")
        return self._movements(times)

    def _tie_on(self) -> list[Said]:
        said: list[Said] = []
        while not said or self.more():
            code = self._code()
            self.need("at")
            said.append(Movement(do="start", balloons=(code,), at=(self._ref(),)))
        return said

    def _meetings(self) -> list[tuple[Ref, ...]]:
        """Joints by one name from each part; dots stand for even counting."""
        joints = [self._meeting()]
        while True:
            if self.has(phrases.DOTS):
                last = self._meeting()
                if len(last) != len(joints[-1]) or len(joints) < 2:
                    raise self.wrong("this does not go on as the joints before it begin")
                columns = [
                    self._between([pair[0], pair[1]], end)
                    for *pair, end in zip(joints[-2], joints[-1], last, strict=True)
                ]
                if len({len(column) for column in columns}) > 1:
                    raise self.wrong("the parts do not count on alike")
                joints += zip(*columns, strict=True)
            elif self.peek() in (",", "and") and self._is_ref(self.peek(1)):
                self.at += 1
                joints.append(self._meeting())
            else:
                return joints

    def _meeting(self) -> tuple[Ref, ...]:
        names = [self._ref()]
        while self.has("to"):
            names.append(self._ref())
        if len(names) < 2:
            raise self.wrong("“to” and another part's joint were expected here")
        return tuple(names)

    def _pairs(self, word: str) -> list[tuple[str, str]]:
        """Pairs of codes with a word between them; dots stand for even counting."""
        pairs = [self._pair(word)]
        while True:
            if self.has(phrases.DOTS):
                last = self._pair(word)
                pairs += self._pairs_between(pairs, last)
            elif self.peek() in (",", "and") and self.peek(1) in self.codes:
                self.at += 1
                pairs.append(self._pair(word))
            else:
                return pairs

    def _pair(self, word: str) -> tuple[str, str]:
        first = self._code()
        self.need(word)
        return first, self._code()

    def _pairs_between(
        self, pairs: list[tuple[str, str]], last: tuple[str, str]
    ) -> list[tuple[str, str]]:
        columns: list[list[str]] = []
        for side in (0, 1):
            known = [pair[side] for pair in pairs[-2:]]
            parts = [phrases.code_parts(code) for code in (*known, last[side])]
            if len(known) < 2 or None in parts:
                raise self.wrong("the dots do not stand after two pairs that count up")
            (mark, a), (_, b), (_, c) = (part for part in parts if part)
            if b <= a or (c - b) % (b - a) or c <= b:
                raise self.wrong("this pair does not go on as the pairs before it begin")
            columns.append([f"{mark}{n}" for n in range(2 * b - a, c + 1, b - a)])
        if len(columns[0]) != len(columns[1]) or columns[0][-1] != last[0]:
            raise self.wrong("this pair does not go on as the pairs before it begin")
        between = list(zip(*columns, strict=True))
        if between[-1] != last or any(c not in self.codes for pair in between for c in pair):
            raise self.wrong("this pair does not go on as the pairs before it begin")
        return [(a, b) for a, b in between]

    def _ties(self) -> list[Said]:
        moves: list[Movement] = []
        if self.peek(3) == "at":
            while not moves or (self.peek(1) in self.codes and self.more()):
                pair = self._pair("to")
                self.need("at")
                moves.append(Movement(do="tie", balloons=pair, at=(self._ref(),)))
        else:
            moves = [Movement(do="tie", balloons=pair) for pair in self._pairs("to")]
        self.need(",", "nozzle", "to", "nozzle")
        if moves[0].at and self.has(",", "and", "lock", "the"):
            self.need("knot" if len(moves) == 1 else "knots", "on")
            names = self._names()
            moves = [replace(move, locks=True, names=names) for move in moves]
        return list(moves)

    def _each(self) -> list[Movement]:
        """Balloons that make one bubble each: pairs together, pairs or single ones onto joints."""
        if self.peek(1) != "onto" and self.peek(3) != "onto":
            return [_each(pair) for pair in self._pairs("with")]
        moves: list[Movement] = []
        while not moves or self.more():
            codes = [self._code()]
            if self.has("with"):
                codes.append(self._code())
            self.need("onto")
            moves.append(replace(_each(codes), at=(self._ref(),)))
        return moves

    def _names(self) -> tuple[str, ...] | None:
        """The balloons a lock names in brackets, if it does."""
        if not self.has("(", "locks"):
            return None
        names = () if self.has("none") else tuple(self._code_list())
        self.need(")")
        return names

    # Movements.

    def _movements(self, times: int) -> list[Said]:
        """Clauses, done `times` times, with the joints of each time."""
        clauses: list[tuple[Movement, list[Ref]]] = []
        while not clauses or self.has(";"):
            clauses.append(self._clause(clauses[-1][0] if clauses else None))
            if len(clauses[-1][1]) not in (0, 1, times):
                self.at -= 1
                count = len(clauses[-1][1])
                raise self.wrong(f"{count} joints are listed for {phrases.times(times)}")
        return [
            replace(move, at=(refs[n] if len(refs) > 1 else refs[0],)) if refs else move
            for n in range(times)
            for move, refs in clauses
        ]

    def _clause(self, before: Movement | None) -> tuple[Movement, list[Ref]]:
        if self.has("lock", "at"):
            refs = self._refs()
            return Movement(do="lock", locks=True, names=self._names()), refs
        groups = [self._group(before)]
        while self.peek() in (",", "and") and self.peek(1) in self.codes:
            self.at += 1
            groups.append(self._group(None))
        refs, locks = [], False
        if self.has(",", "lock"):
            locks = True
            if self.has("in", "turn", "onto") or self.has("onto"):
                refs = self._refs()
            elif self.has("in"):
                self.need("place")
                if len(groups) > 1 or not groups[0].stays:
                    raise self.wrong("“in place” is for one balloon with nothing but loops")
            else:
                self.need("together")
                if all(group.stays for group in groups):
                    raise self.wrong("nothing here ends at a new joint")
        elif self.has(",", "to"):
            refs = self._refs()
        move = Movement(do="make", groups=tuple(groups), locks=locks, names=self._names())
        return move, refs

    def _group(self, before: Movement | None) -> Group:
        if self._is_number() and before is not None and len(before.groups) == 1:
            balloon = before.groups[0].balloon
        else:
            balloon = self._code()
        runs = [self._run()]
        while self.peek() in (",", "and"):
            self.at += 1
            if not self._is_number():
                self.at -= 1
                break
            runs.append(self._run())
        return Group(balloon, tuple(runs))

    def _run(self) -> Run:
        count = self._number()
        made: Made = "bubble"
        if self.has("free"):
            made = "free"
        elif self.peek() in phrases.KINDS["loop"]:
            made = "loop"
        word = phrases.KINDS["loop" if made == "loop" else "bubble"][0 if count == 1 else 1]
        if count == 0:
            self.at -= 1
            raise self.wrong("a number above none was expected here")
        self.need(word)
        return Run(count, made, self._length() if self.has("of") else 0)

    def _length(self) -> int:
        words: list[str] = []
        while self.peek() and self.peek() not in _UNITS and len(words) < 3:
            words.append(self.take())
        unit = self.peek()
        try:
            length = read_length(" ".join([*words, unit]), "mm")
        except NotALength as error:
            raise self.wrong(error.message) from error
        self.at += 1
        return length

    # Folds.

    def _rows(self) -> tuple[int, int]:
        many = self.has("rows")
        if not many:
            self.need("row")
        first = self._number()
        last = first
        if many:
            if not self.has("and"):
                self.need("to")
            last = self._number()
        return first, last

    def _again(self) -> FoldCall:
        first, last = self._rows()
        times = phrases.TIMES.get(self.peek(), 0)
        if times:
            self.at += 1
            self.need("more")
        else:
            times = self._number()
            self.need("more", "times")
        names: list[tuple[Ref, tuple[Ref, ...]]] = []
        if self.has(",", "with"):
            while not names or self.has(",", "and"):
                names.append(self._instead(times))
        shifts = self._shifts() if self.has(";", "each", "time", "count") else []
        return FoldCall(
            source=first,
            source_last=last,
            times=times,
            again=True,
            swaps=(),
            names=tuple(names),
            shifts=tuple(shifts),
        )

    def _instead(self, times: int) -> tuple[Ref, tuple[Ref, ...]]:
        """Joints to take, one for each time, and the one they stand for."""
        refs = self._refs()
        if self.has("in", "turn"):
            if len(refs) != times:
                self.at -= 1
                raise self.wrong(f"{len(refs)} joints are listed for {phrases.times(times)}")
        elif len(refs) > 1:
            raise self.wrong("“in turn” was expected here")
        else:
            refs *= times
        self.need("for")
        return self._ref(), tuple(refs)

    def _like(self) -> FoldCall:
        first, last = self._rows()
        swaps: list[tuple[str, str]] = []
        names: list[tuple[Ref, tuple[Ref, ...]]] = []
        if self.has(",", "with"):
            while not (swaps or names) or self.more():
                if self._is_ref(self.peek()):
                    names.append(self._instead(1))
                    continue
                new = self._codes()
                self.need("for")
                old = self._codes()
                if len(new) != len(old):
                    self.at -= 1
                    raise self.wrong(f"{len(new)} balloons cannot stand for {len(old)}")
                swaps += zip(new, old, strict=True)
        shifts = self._shifts() if self.has(";", "count") else []
        return FoldCall(
            source=first,
            source_last=last,
            times=1,
            again=False,
            swaps=tuple(swaps),
            names=tuple(names),
            shifts=tuple(shifts),
        )

    def _shifts(self) -> list[tuple[str, int]]:
        shifts: list[tuple[str, int]] = []
        while not shifts or self.more():
            amount = self._number()
            if self.has("back"):
                amount = -amount
            else:
                self.need("further")
            self.need("on")
            shifts += [(code, amount) for code in self._code_list()]
        return shifts


def _each(codes: Collection[str]) -> Movement:
    one = (Run(1, "bubble", 0),)
    return Movement(do="make", groups=tuple(Group(code, one) for code in codes), locks=True)
