"""The shape that the piece will take, as a section of the phone page: the booklet's own words."""

from __future__ import annotations

from html import escape

from airweft.booklet.book import Book
from airweft.booklet.shape_page import motion_figure, shape

_MOST_DRAWN = 640  # bubbles; the picture of a larger piece would outweigh the page


def shape_section(book: Book) -> str:
    """The section as HTML; nothing where nothing was reckoned."""
    figure = motion_figure(book) if book.net.bubble_count <= _MOST_DRAWN else None
    data = shape(book, figure)
    if data is None:
        return ""
    facts = "".join(
        f"<div><dt>{escape(fact['head'])}</dt><dd><b>{escape(fact['figure'])}</b>"
        f"<span>{escape(fact['words'])}</span></dd></div>"
        for fact in data["facts"]
    )
    gives = ""
    if data["gives"]:
        words = "".join(f"<p>{escape(line)}</p>" for line in data["gives"])
        shown = ""
        if figure is not None:
            # The picture carries its title for screen readers; colours are set in attributes, which
            # the page's policy on styles does not concern.
            picture = figure.svg.replace("<svg ", '<svg role="img" ', 1)
            shown = (
                f'<figure class="motion">{picture}'
                f"<figcaption>{escape(figure.text)}</figcaption></figure>"
            )
        gives = f"<h3>{escape(data['gives_title'])}</h3>{words}{shown}"
    return (
        f'<section aria-labelledby="shape-title"><h2 id="shape-title">{escape(data["title"])}</h2>'
        f'<p>{escape(data["lead"])}</p><dl class="shape">{facts}</dl>{gives}</section>'
    )
