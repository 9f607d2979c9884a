"""The cautions: fixed wording where the law fixes it, and every point that must be there."""

from __future__ import annotations

import pytest

from airweft.words import cautions

# 16 CFR 1500.19(b), latex balloons; three independent copies agree on these words.
STATEMENT = (
    "WARNING: CHOKING HAZARD — Children under 8 yrs. can choke or suffocate on uninflated or "
    "broken balloons. Adult supervision required. Keep uninflated balloons from children. "
    "Discard broken balloons at once."
)


def test_the_choking_statement_is_verbatim_and_first():
    assert cautions.CAUTIONS[0].text == STATEMENT
    assert cautions.SHORT.startswith(STATEMENT)


@pytest.mark.parametrize(
    "words",
    [
        "latex",
        "1–4 %",
        "pump",
        "mouth",
        "eye protection",
        "ear protection",
        "Stop short of full inflation",
        "sharp",
        "heavy",
        "tendons",
        "sun",
        "height",
        "Count the balloons",
        "every piece of latex in the bin",
        "Never let balloons go",
        "animals",
        "Local law",
    ],
)
def test_every_point_is_made(words):
    assert any(words in caution.text for caution in cautions.CAUTIONS)


def test_titles_differ_and_the_one_line_is_one_line():
    titles = [caution.title for caution in cautions.CAUTIONS]
    assert len(set(titles)) == len(titles)
    assert "\n" not in cautions.ONE_LINE
    assert "choking" in cautions.ONE_LINE
