"""A small book of a piece that several people make."""

from __future__ import annotations

from dataclasses import replace

from airweft.booklet.book import Book
from airweft.check.replay import replay
from airweft.costing.minutes import estimate
from airweft.costing.shopping import shop
from airweft.plan.make import make_plan
from airweft.records.choices import Choices
from airweft.words.instruct import instruct
from tests.booklet.books import make_book


def crew_book(crew: int = 2) -> Book:
    """A box of three colours that `crew` people make."""
    book = make_book()
    design = replace(book.design, choices=Choices(crew=crew))
    plan = make_plan(design, book.net, style="parts")
    minutes = estimate(plan)
    claims = replace(plan.claims, minutes_low=minutes.low, minutes_high=minutes.high)
    plan = replace(plan, claims=claims)
    return replace(
        book,
        design=design,
        plan=plan,
        minutes=minutes,
        shopping=shop(plan, design.palette),
        instructions=instruct(plan, design.palette, counts=replay(plan)),
    )
