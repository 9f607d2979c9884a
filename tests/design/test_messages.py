"""What is said about bad designs: every problem at once, with its line, in plain words."""

from __future__ import annotations

from pathlib import Path

import pytest

from airweft.base.errors import AirweftError, BadInput, CannotMake, TooNew
from airweft.base.findings import Finding
from airweft.design.read import design_from_bytes, design_from_text, read_design
from airweft.design.schema import LATER_FORMS, LATER_PATTERNS
from airweft.design.starters import STARTERS, starter

GOOD = """\
airweft = 1
name    = "Harbour lantern"
units   = "cm"

[balloon]
size   = "260"
bubble = 2.5
hands  = 4

[form]
kind   = "box"
across = 6
deep   = 6
high   = 8
open   = ["top"]

[colours]
R = "red"
W = "white"

[pattern]
kind   = "columns"
repeat = "RRW"
"""


def _findings(text: str, kind: type[AirweftError] = BadInput) -> tuple[Finding, ...]:
    with pytest.raises(AirweftError) as caught:
        design_from_text(text)
    assert type(caught.value) is kind
    lines = text.split("\n")
    for finding in caught.value.findings:
        assert finding.message.endswith((".", "?")), finding.message
        assert finding.remedy
        assert finding.severity == "cannot"
        assert finding.line is not None
        assert finding.context == lines[finding.line - 1].strip()[:100]
    return caught.value.findings


def _one(text: str, kind: type[AirweftError] = BadInput) -> Finding:
    findings = _findings(text, kind)
    assert len(findings) == 1, [f.message for f in findings]
    return findings[0]


def _with(before: str, after: str) -> str:
    assert before in GOOD
    return GOOD.replace(before, after)


def test_the_good_one_is_good() -> None:
    assert design_from_text(GOOD).findings == ()


@pytest.mark.parametrize(
    ("before", "after", "code", "line", "says"),
    [
        ("name ", "nmae ", "unknown-key", 2, "Did you mean name?"),
        ("airweft = 1\n", "", "missing-key", 1, "airweft = 1"),
        ("airweft = 1", "airweft = '1'", "wrong-type", 1, "airweft = 1"),
        ("airweft = 1", "airweft = 0", "out-of-range", 1, "airweft = 1"),
        ('"Harbour lantern"', '" "', "bad-text", 2, "at least one letter"),
        ('"Harbour lantern"', '"a\\nb"', "bad-text", 2, "one line"),
        ('"Harbour lantern"', "7", "wrong-type", 2, 'name = "Harbour lantern"'),
        ('"cm"', '"inches"', "unknown-value", 3, '"in"'),
        ('units   = "cm"', "", "missing-key", 1, 'units = "cm"'),
        ("[balloon]", "[baloon]", "unknown-key", 5, "[balloon]"),
        ('"260"', '"26"', "balloon-size", 6, "three digits"),
        ('"260"', '"360"', "no-budget", 6, "all six figures"),
        ('"260"', "2.6", "balloon-size", 6, 'size = "260"'),
        ("bubble = 2.5", "bubbel = 2.5", "unknown-key", 7, "Did you mean bubble?"),
        ("bubble = 2.5\n", "", "missing-key", 5, "bubble = 2.5"),
        ("2.5", '"2,500 cm"', "bad-length", 7, "2.50"),
        ("2.5", "-2.5", "bad-length", 7, "above zero"),
        ("2.5", "inf", "bad-length", 7, "number"),
        ("2.5", "0.01", "out-of-range", 7, "unit"),
        ("hands  = 4", "hands  = 0", "out-of-range", 8, "at least 1"),
        ("hands  = 4", "hands  = 4.0", "wrong-type", 8, "hands = 4"),
        ("hands  = 4", 'hands  = "3"', "wrong-type", 8, "hands = 3"),
        ("hands  = 4", "hands  = true", "wrong-type", 8, "hands = 4"),
        ("hands  = 4", "most_bubbles = 0", "out-of-range", 8, "at least 1"),
        ("hands  = 4", "flat = 27", "unknown-key", 8, "[balloon.budget]"),
        ("hands  = 4", "tail_step = 20", "out-of-range", 8, "0.5 cm"),
        ("hands  = 4", "budget = 3", "wrong-type", 8, "[balloon.budget]"),
        ("hands  = 4", "budget = { flat = 10, full = 9 }", "bad-budget", 8, "full"),
        ("hands  = 4", "budget = { flat = 250, full = 900 }", "bad-budget", 8, "unit"),
        ("hands  = 4", "budget = { knot = 200 }", "bad-budget", 8, "unit"),
        ("hands  = 4", "budget = { knto = 2 }", "unknown-key", 8, "Did you mean knot?"),
        ('kind   = "box"', "", "missing-key", 10, 'kind = "'),
        ('kind   = "box"', "kind = 3", "wrong-type", 11, "kind = "),
        ('kind   = "box"', 'kind = "bocks"', "unknown-value", 11, '"blocks"'),
        ("across = 6", "across = '6'", "wrong-type", 12, "across = 6"),
        ("across = 6", "acros = 6", "unknown-key", 12, "Did you mean across?"),
        ("across = 6\n", "", "missing-key", 10, "across = 6"),
        ("across = 6", "across = 6\nwide = 3", "unknown-key", 13, "across"),
        ('["top"]', '"top"', "wrong-type", 15, '["top"]'),
        ('["top"]', '["lid"]', "unknown-value", 15, '"top"'),
        ('open   = ["top"]', "columns = 3", "unknown-key", 15, "another kind"),
        ('["top"]', '["top"]\nseams = "sharp"', "unknown-value", 16, '"extra"'),
        ('"red"', '"redd"', "bad-colour", 18, '"red"'),
        ('"red"', '"#12345"', "bad-colour", 18, "two digits each"),
        ('"red"', "0xff0000", "wrong-type", 18, "#rrggbb"),
        ('"red"', '{ name = "x" }', "missing-key", 18, "colour = "),
        ('W = "white"', 'W = "white"\nWh = "snow"', "colour-mark", 20, "W = "),
        ('W = "white"', 'W = "white"\nr = "snow"', "colour-mark", 20, "another letter"),
        ('"columns"', '"stripes"', "unknown-value", 22, '"columns"'),
        ('"RRW"', '"RRB"', "unknown-colour", 23, '"R" or "W"'),
        ('"RRW"', '"RrW"', "unknown-colour", 23, 'Did you mean "R"?'),
        ('"RRW"', '""', "bad-repeat", 23, "repeat = "),
        ('"RRW"', "12", "wrong-type", 23, 'repeat = "RRW"'),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "panels"\nlid = "R"\nrest = "W"',
         "unknown-key", 23, "Known here"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "panels"\nfront = "R"',
         "panel-without-colour", 21, "rest"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "checks"\nrepeat = "R"',
         "bad-repeat", 23, 'repeat = "RW"'),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"', "missing-key", 21, "bubbles"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\nbubbles = { "front 9.9" = "R" }',
         "unknown-bubble", 23, "columns 1 to 6"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\nbubbles = { "top 1.1" = "R" }',
         "unknown-bubble", 23, "front"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\nbubbles = { "frunt 1.1" = "R" }',
         "unknown-bubble", 23, '"front 1.1"'),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\ncharts = { front = "RR" }',
         "bad-chart", 23, "as large as the panel"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\ncharts = { front = "R\\nRR" }',
         "bad-chart", 23, "equally long"),
        ('kind   = "columns"\nrepeat = "RRW"', 'kind = "hand"\nbubbles = {}\nbase = "R"',
         "wrong-type", 24, "[pattern.base]"),
        ('kind   = "columns"\nrepeat = "RRW"',
         'kind = "hand"\nbubbles = {}\nbase = { kind = "hand" }', "unknown-value", 24, "plain"),
    ],
)  # fmt: skip
def test_one_slip_gives_one_finding(
    before: str, after: str, code: str, line: int, says: str
) -> None:
    finding = _one(_with(before, after))
    assert (finding.code, finding.line) == (code, line), finding
    assert says in finding.remedy


@pytest.mark.parametrize(
    ("before", "after", "code", "line", "says"),
    [
        ("across = 6", "across = 7", "odd-count", 12, "6 or 8"),
        ("high   = 8", "high = 1", "count-too-small", 14, "high = 2"),
        ("deep   = 6", "deep = 3", "odd-count", 13, "2 or 4"),
        ("deep   = 6", "deep = 0", "count-too-small", 13, "deep = 2"),
        ("deep   = 6", "deep = -4", "count-too-small", 13, "deep = 2"),
        ("deep   = 6", "deep = 60_000", "too-many-bubbles", 10, "smaller"),
        ('["top"]', '["top", "bottom", "left", "right"]', "separate-parts", 15, "Close one more"),
        ('["top"]', '["top", "bottom", "left", "right", "front", "back"]', "nothing-left", 15,
         "at least one side"),
        ("2.5", "150", "bubble-too-long", 7, "shorter"),
        ("hands  = 4", 'tail = "27 cm"', "tail-too-long", 8, "shorter tail"),
        ("hands  = 4", 'tail = "26 cm"', "tail-leaves-no-bubble", 8, "37"),
    ],
)  # fmt: skip
def test_what_cannot_be_made(before: str, after: str, code: str, line: int, says: str) -> None:
    finding = _one(_with(before, after), CannotMake)
    assert (finding.code, finding.line) == (code, line)
    assert says in finding.remedy


@pytest.mark.parametrize(
    ("form", "counts", "odd"),
    [
        ("sheet", {"columns": 7, "rows": 4}, "columns"),
        ("sheet", {"columns": 6, "rows": 5}, "rows"),
        ("tube", {"around": 9, "rows": 4}, "around"),
        ("tube", {"around": 8, "rows": 3}, "rows"),
        ("blocks", {"cell": 3}, "cell"),
    ],
)
def test_odd_counts_name_the_even_ones_on_both_sides(
    form: str, counts: dict[str, int], odd: str
) -> None:
    keys = "\n".join(f"{key} = {count}" for key, count in counts.items())
    layers = '\nlayers = ["#"]' if form == "blocks" else ""
    head, _, tail = GOOD.partition("[form]")
    text = f'{head}[form]\nkind = "{form}"\n{keys}{layers}\n\n[colours]{tail.split("[colours]")[1]}'
    finding = _one(text, CannotMake)
    assert finding.code == "odd-count"
    assert finding.where == f"[form] {odd}"
    assert f"{counts[odd] - 1} or {counts[odd] + 1}" in finding.remedy


def test_every_problem_is_told_at_once() -> None:
    text = (
        GOOD.replace("name ", "nam ")
        .replace('"260"', '"26"')
        .replace("2.5", '"1,000"')
        .replace("across = 6", "across = 7")
        .replace("deep   = 6", "deep = 2,5")
        .replace('"red"', "red")
        .replace('"white"', '"wite"')
        .replace('"RRW"', '"RRB"')
    )
    found = {(finding.line, finding.code) for finding in _findings(text)}
    assert found == {
        (2, "unknown-key"),
        (6, "balloon-size"),
        (7, "bad-length"),
        (12, "odd-count"),
        (13, "not-toml"),
        (18, "not-toml"),
        (19, "bad-colour"),
        (23, "unknown-colour"),
    }


def test_what_cannot_be_made_is_told_along_with_what_is_badly_written() -> None:
    text = GOOD.replace("across = 6", "across = 7").replace('"RRW"', '"RRB"')
    assert [f.code for f in _findings(text)] == ["odd-count", "unknown-colour"]


def test_a_later_version_is_said_as_such_and_nothing_else() -> None:
    finding = _one(_with("airweft = 1", "airweft = 2\nglow = true"), TooNew)
    assert "version 2" in finding.message
    assert "newest airweft" in finding.remedy


@pytest.mark.parametrize("kind", LATER_FORMS)
def test_later_forms_are_refused_kindly(kind: str) -> None:
    finding = _one(_with('"box"', f'"{kind}"'))
    assert finding.code == "not-yet"
    assert "yet" in finding.message
    with pytest.raises(BadInput, match="yet"):
        starter(kind)


@pytest.mark.parametrize("kind", LATER_PATTERNS)
def test_later_patterns_are_refused_kindly(kind: str) -> None:
    assert _one(_with('"columns"', f'"{kind}"')).code == "not-yet"


def test_advice_stops_nothing() -> None:
    text = (
        GOOD.replace("2.5", "2")
        .replace("hands  = 4", "most_bubbles = 99")
        .replace('["top"]', '["top", "top"]')
        .replace('W = "white"', 'O = "white"\n0 = "blue"')
        .replace('"RRW"', '"RO0"')
    )
    found = [(f.severity, f.code, f.line) for f in design_from_text(text).findings]
    assert found == [
        ("risky", "bubble-too-short", 7),
        ("note", "cap-not-reached", 8),
        ("note", "side-twice", 15),
        ("note", "marks-alike", 20),
    ]


def test_sections_that_are_missing_are_asked_for_at_the_end() -> None:
    found = _findings('airweft = 1\nname = "x"\nunits = "mm"\n')
    assert [f.line for f in found] == [3] * 4
    said = " ".join(f.message for f in found)
    assert all(f"[{name}]" in said for name in ("balloon", "form", "colours", "pattern"))


@pytest.mark.parametrize(
    ("layers", "says"),
    [
        ("[]", "no layer"),
        ('["..", ".."]', "no cube"),
        ('["#x"]', '"x"'),
        ('["#", "##"]', "2 signs"),
        ('["#\\n##"]', "2 signs"),
        ('["#", "#\\n#"]', "2 lines"),
        ("[3]", "a text in quotes"),
        ('"##"', "a list"),
    ],
)
def test_layers(layers: str, says: str) -> None:
    text = STARTERS["blocks"]
    head, rest = text.split("layers = [")
    finding = _findings(f"{head}layers = {layers}\n{rest.split(']', 1)[1]}")[0]
    assert says in finding.message


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("tail = 7 in", 'tail = "7 in"'),
        ('tail = 7"', 'tail = "7 in"'),
        ("tail = 2,5", '"2,5 cm"'),
        ("tail = 07", "tail = 7"),
        ("tail =", "after the equals sign"),
        ("tail: 7", "tail = 7"),
        ("tail 7", "key = value"),
        ("tail = “7 in”", 'tail = "7 in"'),
        ('tail = "7 in', 'tail = "7 in"'),
        ('tail = "7" in"', '"7 in"'),
        ("hands = 3", "Keep one"),
        ("x = #ff0000", '"#ff0000"'),
        ("x = red", 'x = "red"'),
        ("x = True", "true"),
        ('front 3.2 = "R"', '"front 3.2" = "R"'),
        ("x = [top, left]", '["top", "left"]'),
        ('x = "c:\\parts"', "Use /"),
    ],
)
def test_slips_of_writing_are_explained(line: str, says: str) -> None:
    text = _with("hands  = 4", f"hands  = 4\n{line}")
    finding = _one(text)
    assert (finding.code, finding.line) == ("not-toml", 9)
    assert says in finding.remedy


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "file-empty"),
        (b" \n\t\n", "file-empty"),
        (b"\xef\xbb\xbf", "file-empty"),
        (GOOD.encode("utf-16"), "file-not-utf8"),
        (GOOD.replace("lantern", "f\u00eate").encode("latin-1"), "file-not-utf8"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "file-not-text"),
        (b"# " + b"x" * 3000, "line-too-long"),
        (b"#\n" * 1_500_000, "file-too-large"),
    ],
)
def test_files_that_are_no_text(data: bytes, code: str, tmp_path: Path) -> None:
    path = tmp_path / "piece.toml"
    path.write_bytes(data)
    with pytest.raises(BadInput) as caught:
        read_design(path)
    finding = caught.value.findings[0]
    assert finding.code == code
    assert finding.remedy
    assert "piece.toml" in finding.where
    assert str(tmp_path) not in finding.message


def test_other_line_ends_and_a_byte_order_mark_are_fine() -> None:
    same = design_from_text(GOOD)
    assert design_from_bytes(b"\xef\xbb\xbf" + GOOD.encode()) == same
    assert design_from_bytes(GOOD.replace("\n", "\r\n").encode()) == same
    assert design_from_bytes(GOOD.replace("\n", "\r").encode()) == same


def test_files_that_are_not_there(tmp_path: Path) -> None:
    for path, code in [
        (tmp_path, "file-is-folder"),
        (tmp_path / "none.toml", "file-not-found"),
        (tmp_path / "none" / "none.toml", "file-not-found"),
        (tmp_path / "a\0b", "file-not-found"),
        (Path("/dev/zero"), "file-not-readable"),
        (tmp_path / ("n" * 5000), "file-not-readable"),
    ]:
        with pytest.raises(BadInput) as caught:
            read_design(path)
        if not (path == Path("/dev/zero") and not path.exists()):
            assert caught.value.findings[0].code == code, path


@pytest.mark.parametrize("path", sorted((Path(__file__).parents[2] / "examples").glob("*.toml")))
def test_the_examples_read_without_a_word(path: Path) -> None:
    assert read_design(path).findings == ()


@pytest.mark.parametrize("form", list(STARTERS))
def test_the_starters_read_without_a_word(form: str) -> None:
    text = starter(form)
    assert design_from_text(text).findings == ()
    assert max(map(len, text.split("\n"))) <= 100


def test_an_unknown_starter_names_the_nearest() -> None:
    with pytest.raises(BadInput) as caught:
        starter("tubes")
    assert "tube" in caught.value.findings[0].remedy


@pytest.mark.parametrize(
    ("plan", "code", "line", "says"),
    [
        ('style = "round"', "unknown-value", 2, 'Did you mean "rounds"?'),
        ('stlye = "rounds"', "unknown-key", 2, "Did you mean style?"),
        ("crew = 0", "out-of-range", 2, "at least 1"),
        ("seed = -1", "out-of-range", 2, "at least 0"),
        ("start = 3", "wrong-type", 2, 'start = "front (3, 2)"'),
        ("weights = 3", "wrong-type", 2, "[plan.weights]"),
        ("weights = { ballons = 3 }", "unknown-key", 2, "Did you mean balloons?"),
        ("[plan.weights]\nloose = -1", "out-of-range", 3, "Write a number, at least 0."),
        ("[plan.weights]\nloose = 2e6", "out-of-range", 3, "at most 1,000,000"),
        ("[plan.weights]\nloose = nan", "wrong-type", 3, "loose = 3"),
        ('[plan.weights]\nloose = "3"', "wrong-type", 3, "loose = 3"),
        ('keep = "x"', "wrong-type", 2, "[[plan.keep]]"),
        ("keep = [3]", "wrong-type", 2, "keep"),
        ("[[plan.keep]]", "bad-choice", 2, "trail, panels, before and toward"),
        ('[[plan.keep]]\ntrial = ["a", "b"]', "unknown-key", 3, "Did you mean trail?"),
        ('[[plan.keep]]\ntrail = ["a"]', "bad-choice", 3, "two or more"),
        ('[[plan.keep]]\ntrail = "a"', "wrong-type", 3, "trail = ["),
        ('[[plan.keep]]\ntrail = ["a", "b", "a"]', "bad-choice", 3, "only once"),
        ('[[plan.keep]]\ntoward = ["a", "b", "c"]', "bad-choice", 3, "Write two"),
        ('[[plan.keep]]\nbefore = ["R", "B"]', "unknown-colour", 3, "R or W"),
        ('[[plan.keep]]\nbefore = ["R", "W"]\ntrail = ["a", "b"]', "bad-choice", 2, "each choice"),
        ('[plan.inside]\nwhat = "a bell"', "missing-key", 2, "across = 3"),
        ('[plan.inside]\nwhat = "a bell"\nacross = 0', "bad-length", 4, "above zero"),
        ("inside = 3", "wrong-type", 2, "[plan.inside]"),
    ],
)
def test_bad_choices(plan: str, code: str, line: int, says: str) -> None:
    finding = _one(f"{GOOD}[plan]\n{plan}\n")
    assert finding.code == code
    assert finding.line == GOOD.count("\n") + line
    assert says in finding.remedy


def test_something_sharp_inside_is_advised_against() -> None:
    inside = '[plan.inside]\nwhat = "{}"\nacross = 3\n'
    for what in ("two Nails", "a candle"):
        (finding,) = design_from_text(GOOD + inside.format(what)).findings
        assert finding.code == "risky-inside" and finding.severity == "risky"
    for what in ("a small bell", "spinning toy", "napkin"):
        assert design_from_text(GOOD + inside.format(what)).findings == ()


def test_the_section_of_the_plan_in_a_starter_reads_without_its_marks() -> None:
    text = STARTERS["box"]
    head, plan = text.split("# What you settle about the plan")
    lines = [line.removeprefix("# ") for line in plan.split("\n")[1:] if line != "#"]
    choices = design_from_text(head + "\n".join(lines)).choices
    assert (choices.style, choices.crew, choices.seed) == ("rounds", 2, 3)
    assert dict(choices.weights) == {"balloons": 4, "turning": 1} and choices.inside is not None


def test_a_direction_may_have_decimals() -> None:
    """The same direction however it is written, also in the fingerprint."""
    text = STARTERS["joined"]
    whole = design_from_text(text)
    tenths = design_from_text(text.replace("[-2, 0, 1]", "[-0.4, 0, 0.2]"))
    assert "[-2, 0, 1]" in text and tenths.fingerprint == whole.fingerprint
    with pytest.raises(BadInput):
        design_from_text(text.replace("[-2, 0, 1]", "[nan, 0, 1]"))
