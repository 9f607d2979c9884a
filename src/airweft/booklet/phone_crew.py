"""The phone page's part about a crew: who makes what, and where each person begins."""

from __future__ import annotations

from html import escape
from typing import Any

from airweft.booklet.book import Book
from airweft.booklet.crew_page import crew, part_colours
from airweft.booklet.phone_tones import tones
from airweft.booklet.walk import safe_hex


def swatch(mark: str, colour: str) -> str:
    """A balloon of a colour with its mark; drawn, because the page allows no inline styles."""
    return (
        '<svg class="swatch" viewBox="0 0 44 29" aria-hidden="true"><ellipse cx="22" cy="14.5" '
        f'rx="20.5" ry="13" fill="{escape(safe_hex(colour))}" stroke="#1b1b22" stroke-width="2"/>'
        '<circle cx="22" cy="14.5" r="9" fill="#fff"/><text x="22" y="19" text-anchor="middle" '
        f'font-size="13" font-weight="700" fill="#1b1b22">{escape(mark)}</text></svg>'
    )


def crew_section(book: Book) -> str:
    """The section as HTML, nothing for a piece that one person makes."""
    said = crew(book, ())
    if said is None:
        return ""
    rows = "".join(
        f'<tr><th scope="row"><span class="need-name">{swatch(part["mark"], part["hex"])}<span>'
        f"{escape(part['title'])}</span></span></th><td>{escape(part['balloons'])}</td>"
        f'<td>{escape(part["minutes"])}</td><td class="crew-go"><button type="button" '
        f'class="button quiet small" data-step="{chapter.first_step - 1}">Go to step '
        f"{chapter.first_step}</button></td></tr>"
        for part, chapter in zip(said["parts"], book.instructions.chapters, strict=True)
    )
    return (
        '<section aria-labelledby="crew-title"><h2 id="crew-title">Who makes what</h2>'
        f"<p>{escape(said['lead'])}</p>"
        '<figure class="crew-picture"><canvas role="img" aria-label="The piece '
        'with every bubble marked by its part. Drag to turn it."></canvas></figure>'
        '<div class="table-box"><table class="needs"><thead><tr><th scope="col">What</th>'
        '<th scope="col">Balloons</th><th scope="col">Minutes, about</th><td></td></tr></thead>'
        f"<tbody>{rows}</tbody></table></div></section>"
    )


def crew_data(book: Book) -> dict[str, Any]:
    """What the scripts need: first and last step of each chapter, if apart, its first words.

    `parts` are the tones of the parts, then of what is made when joining.
    """
    chapters = book.instructions.chapters
    return {
        "parts": [[c.mark, c.name, *tones(c)] for c in part_colours(book)] if chapters else [],
        "chapters": [
            [chapter.first_step, chapter.last_step, int(chapter.person > 0), chapter.lead]
            for chapter in chapters
        ],
    }
