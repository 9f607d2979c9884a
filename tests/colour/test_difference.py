"""CIEDE2000 against the published test data.

Pairs and results: G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula:
implementation notes, supplementary test data, and mathematical observations", Color Res. Appl. 30
(2005) 21-30. Its pair 14 is left out: the hue difference there is 180 degrees to the last bit, and
rounding decides between the two published-looking results.
"""

from __future__ import annotations

import pytest

from airweft.colour.difference import difference, lab_of
from airweft.colour.legible import palette_notes
from airweft.records.design import Colour

PAIRS = """
50.0000   2.6772 -79.7751     50.0000   0.0000 -82.7485     2.0425
50.0000   3.1571 -77.2803     50.0000   0.0000 -82.7485     2.8615
50.0000   2.8361 -74.0200     50.0000   0.0000 -82.7485     3.4412
50.0000  -1.3802 -84.2814     50.0000   0.0000 -82.7485     1.0000
50.0000  -1.1848 -84.8006     50.0000   0.0000 -82.7485     1.0000
50.0000  -0.9009 -85.5211     50.0000   0.0000 -82.7485     1.0000
50.0000   0.0000   0.0000     50.0000  -1.0000   2.0000     2.3669
50.0000  -1.0000   2.0000     50.0000   0.0000   0.0000     2.3669
50.0000   2.4900  -0.0010     50.0000  -2.4900   0.0009     7.1792
50.0000   2.4900  -0.0010     50.0000  -2.4900   0.0010     7.1792
50.0000   2.4900  -0.0010     50.0000  -2.4900   0.0011     7.2195
50.0000   2.4900  -0.0010     50.0000  -2.4900   0.0012     7.2195
50.0000  -0.0010   2.4900     50.0000   0.0009  -2.4900     4.8045
50.0000  -0.0010   2.4900     50.0000   0.0011  -2.4900     4.7461
50.0000   2.5000   0.0000     50.0000   0.0000  -2.5000     4.3065
50.0000   2.5000   0.0000     73.0000  25.0000 -18.0000    27.1492
50.0000   2.5000   0.0000     61.0000  -5.0000  29.0000    22.8977
50.0000   2.5000   0.0000     56.0000 -27.0000  -3.0000    31.9030
50.0000   2.5000   0.0000     58.0000  24.0000  15.0000    19.4535
50.0000   2.5000   0.0000     50.0000   3.1736   0.5854     1.0000
50.0000   2.5000   0.0000     50.0000   3.2972   0.0000     1.0000
50.0000   2.5000   0.0000     50.0000   1.8634   0.5757     1.0000
50.0000   2.5000   0.0000     50.0000   3.2592   0.3350     1.0000
60.2574 -34.0099  36.2677     60.4626 -34.1751  39.4387     1.2644
63.0109 -31.0961  -5.8663     62.8187 -29.7946  -4.0864     1.2630
61.2901   3.7196  -5.3901     61.4292   2.2480  -4.9620     1.8731
35.0831 -44.1164   3.7933     35.0232 -40.0716   1.5901     1.8645
22.7233  20.0904 -46.6940     23.0331  14.9730 -42.5619     2.0373
36.4612  47.8580  18.3852     36.2715  50.5065  21.2231     1.4146
90.8027  -2.0831   1.4410     91.1528  -1.6435   0.0447     1.4441
90.9257  -0.5406  -0.9208     88.6381  -0.8985  -0.7239     1.5381
6.7747   -0.2908  -2.4247      5.8714  -0.0985  -2.2286     0.6377
2.0776    0.0795  -1.1350      0.9033  -0.0636  -0.5514     0.9082
"""
# The table gives four decimals.
TOLERANCE = 5e-5


@pytest.mark.parametrize("line", PAIRS.strip().splitlines())
def test_published_pairs(line: str) -> None:
    l1, a1, b1, l2, a2, b2, expected = map(float, line.split())
    assert difference((l1, a1, b1), (l2, a2, b2)) == pytest.approx(expected, abs=TOLERANCE)
    assert difference((l2, a2, b2), (l1, a1, b1)) == pytest.approx(expected, abs=TOLERANCE)


@pytest.mark.parametrize(
    ("hex_colour", "lab"),
    [
        # sRGB primaries in CIE L*a*b* (D65) as widely tabled, e.g. by B. Lindbloom.
        ("#ffffff", (100, 0, 0)),
        ("#000000", (0, 0, 0)),
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
    ],
)
def test_lab_of_the_primaries(hex_colour: str, lab: tuple[float, float, float]) -> None:
    assert lab_of(hex_colour) == pytest.approx(lab, abs=0.05)


def test_lab_refuses_other_writings() -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        lab_of("#fff")


def test_like_colours_are_noted() -> None:
    palette = (
        Colour("R", "red", "#ff0000"),
        Colour("O", "a red", "#fb1005"),
        Colour("W", "white", "#ffffff"),
        Colour("B", "black", "#000000"),
    )
    (note,) = palette_notes(palette)
    assert note.severity == "note"
    assert note.where == "colours, R and O"
    assert "red (R)" in note.message
    assert note.remedy
    same = (Colour("R", "red", "#ff0000"), Colour("S", "scarlet", "#ff0000"))
    assert "look the same" in palette_notes(same)[0].message
    assert palette_notes(palette[:1]) == ()
