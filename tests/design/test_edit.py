"""A choice stored in a design's text: the data is as wished, and every other letter stands."""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.base.errors import BadInput
from airweft.design.edit import with_choice
from airweft.design.read import design_from_text
from airweft.design.starters import STARTERS

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
HEAD = "airweft = 1 # one\n\n[form]   # \"form\"\nkind = 'box'\n"

SPELLINGS = [
    "",
    "[plan]\n",
    "[plan] # mine\n# of old\ncrew = 2 # two\n\n\n",
    '[plan]\n   style   =   "pairs"   # tried first\n',
    '[plan]\nseed = 7\nstyle = "pairs"\n[plan.weights]\nballoons = 2\n',
    "[plan.weights]\nballoons = 2 # dear\n",
    '[[plan.keep]]\nbefore = ["a", "b"] # first\n\n[[plan.keep]]\nbefore = ["b", "c"]\n',
    "plan = { crew = 2 } # short\n",
    'plan = { crew = 2, style = "pairs" }\n',
    "plan.crew = 2 # dotted\n",
]


def wished(text: str, **plan: object) -> dict[str, object]:
    data = tomllib.loads(text)
    data.setdefault("plan", {}).update(plan)
    return data


def lost(before: str, after: str) -> list[str]:
    """The words of a text that are not in the other, in order."""
    words = [w for w in before.split() if w]
    match = difflib.SequenceMatcher(None, words, after.split(), autojunk=False)
    return [w for tag, i, j, _, _ in match.get_opcodes() if tag in ("delete", "replace")
            for w in words[i:j]]  # fmt: skip


@pytest.mark.parametrize("seed", [None, 3])
@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_way_of_writing_the_section(spelling: str, seed: int | None) -> None:
    first = spelling.startswith("plan")  # such lines stand above the first heading
    text = spelling + HEAD if first else HEAD + "\n" + spelling
    after = with_choice(text, style="rounds", seed=seed)
    plan: dict[str, object] = {"style": "rounds"} | ({} if seed is None else {"seed": seed})
    assert tomllib.loads(after) == wished(text, **plan)
    old = {'"pairs"', '"pairs"}', "7"} if seed is not None else {'"pairs"', '"pairs"}'}
    assert set(lost(text, after)) <= old | {"2", "}", "2}"}
    for remark in (line.partition("#")[2] for line in text.splitlines() if "#" in line):
        assert remark in after
    again = with_choice(after, style="rounds", seed=seed)
    assert again == after


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_examples_keep_every_letter(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    after = with_choice(text, style="pairs")
    assert after.startswith(text)
    assert after[len(text) :].split() == ["[plan]", "style", "=", '"pairs"']


@pytest.mark.parametrize("form", [f for f in STARTERS if f not in ("net", "mesh")])
def test_a_design_reads_as_before_but_for_the_choice(form: str) -> None:
    text = STARTERS[form]
    one, other = design_from_text(text), design_from_text(with_choice(text, style="rounds", seed=5))
    assert (other.choices.style, other.choices.seed) == ("rounds", 5)
    assert one.form == other.form and one.pattern == other.pattern
    assert one.fingerprint != other.fingerprint


def test_line_ends_and_byte_order_mark_stay() -> None:
    text = "\ufeff" + (HEAD + "[plan]\ncrew = 2\n").replace("\n", "\r\n")
    for written in (text, text.replace("[plan]\r\ncrew = 2\r\n", "")):
        after = with_choice(written, style="rounds")
        assert after.startswith("\ufeff") and after.count("\ufeff") == 1
        assert after.count("\n") == after.count("\r\n") > written.count("\n")


def test_what_cannot_be_changed_alone_is_refused() -> None:
    for text in ("plan = 3\n", "plan = []\n", "[[plan]]\n", "not toml"):
        with pytest.raises(BadInput) as refused:
            with_choice(text, style="rounds", seed=2)
        (finding,) = refused.value.findings
        assert finding.code == "choice-not-stored"
        assert 'style = "rounds" and seed = 2' in finding.remedy


@given(
    st.lists(
        st.sampled_from([*SPELLINGS[:7], "# a remark\n", "\n", "x = 1\n", "[other]\n"]), max_size=5
    )
)
def test_texts_put_together_by_chance(pieces: list[str]) -> None:
    """Whatever the text, the answer is exactly what was wished, or a refusal."""
    text = HEAD + "".join(pieces)
    try:
        data = wished(text, style="rounds")
    except (tomllib.TOMLDecodeError, AttributeError):
        with pytest.raises(BadInput):
            with_choice(text, style="rounds")
        return
    try:
        after = with_choice(text, style="rounds")
    except BadInput:
        return
    assert tomllib.loads(after) == data
