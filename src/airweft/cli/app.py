"""The commands and their options. Each asks the workshop, prints, and returns an exit code."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from airweft import __version__
from airweft.base.errors import AirweftError, BadInput, CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import nearest, said_list
from airweft.cli.progress_bar import shown_progress
from airweft.cli.screen import err, out, say

_Choice = TypeVar("_Choice", bound=str)

app = typer.Typer(
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"]},
    help="Plan, draw and make woven balloon fabric: from a design file to a booklet on the table.",
    epilog="Exit codes: 0 done, 1 cannot be made (findings say why), 2 wrong use or unreadable "
    "file. Start with: airweft new box --out box.toml",
)

DesignFile = Annotated[
    Path, typer.Argument(metavar="DESIGN.toml", help="The design file.", show_default=False)
]
SeedOption = Annotated[
    str, typer.Option("--seed", metavar="NUMBER", help="Same seed, same plan; another may differ.")
]
JsonOption = Annotated[
    bool,
    typer.Option(
        "--json", metavar="", help="Answer as JSON on standard output, for other programs."
    ),
]


def _show_version(wanted: bool) -> None:
    if wanted:
        say(out(), f"airweft {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option(
            "--version", metavar="", help="Say the version.", callback=_show_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Nothing to do before a command but what its own options say."""


@app.command()
def make(
    design: DesignFile,
    folder: Annotated[
        Path,
        typer.Option("--out", metavar="FOLDER", help="Where the files go.", show_default=False),
    ],
    style: Annotated[
        str, typer.Option(metavar="STYLE", help="How to build: pairs, rounds or fewest balloons.")
    ] = "fewest",
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    edition: Annotated[
        str, typer.Option(metavar="EDITION", help="standard, or large type in one column.")
    ] = "standard",
    seed: SeedOption = "0",
    replace: Annotated[
        bool,
        typer.Option(
            "--replace",
            metavar="",
            help="Use the folder even if it holds other things; your files in the way are kept "
            "under new names.",
        ),
    ] = False,
    as_json: JsonOption = False,
) -> int:
    """Make everything for a piece: booklet, phone page, plan, pictures and shopping list."""
    from airweft.cli.answers import made_answer, write_json
    from airweft.cli.show_made import show_made
    from airweft.workshop.job import run
    from airweft.workshop.options import EDITIONS, PAPERS, STYLES

    asked = partial(
        run,
        style=_choice("--style", style, STYLES),
        paper=_choice("--paper", paper, PAPERS),
        edition=_choice("--edition", edition, EDITIONS),
        seed=_whole("--seed", seed),
        replace=replace,
    )
    try:
        with shown_progress(quiet=as_json) as progress:
            outcome = asked(design, folder, progress=progress)
    except AirweftError as error:
        return _refuse(error, design, as_json=as_json)
    if as_json:
        write_json(made_answer(outcome))
    else:
        show_made(out(), outcome, folder)
    return 0


@app.command()
def check(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A design file or a plan.json.", show_default=False),
    ],
    as_json: JsonOption = False,
) -> int:
    """Say everything that is wrong with a design or a plan, from whatever program it comes."""
    from airweft.cli.answers import examined_answer, write_json
    from airweft.cli.show_examined import show_examined
    from airweft.workshop.examine import examine

    with shown_progress(quiet=as_json) as progress:
        examined = examine(file, progress=progress)
    if as_json:
        write_json(examined_answer(examined))
    else:
        show_examined(out(), err(), examined, str(file))
    if not examined.readable:
        return 2
    return 0 if examined.makeable else 1


@app.command()
def compare(design: DesignFile, seed: SeedOption = "0", as_json: JsonOption = False) -> int:
    """Show the styles of building a design side by side: balloons, minutes, loose twists, lines."""
    from airweft.cli.answers import compared_answer, write_json
    from airweft.cli.show_compared import show_compared
    from airweft.workshop.side_by_side import side_by_side

    number = _whole("--seed", seed)
    try:
        with shown_progress(quiet=as_json) as progress:
            found, rows = side_by_side(design, seed=number, progress=progress)
    except AirweftError as error:
        return _refuse(error, design, as_json=as_json)
    if as_json:
        write_json(compared_answer(found, rows))
    else:
        show_compared(out(), found, rows, str(design))
    return 0


@app.command()
def new(
    form: Annotated[
        str,
        typer.Argument(
            metavar="FORM",
            help="The kind of form: box, tube, ball ... A wrong one lists all.",
            show_default=False,
        ),
    ],
    file: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", help="A new file to write; without it, to the screen."
        ),
    ] = None,
) -> int:
    """Write a starter design with comments, to change into your own."""
    from airweft.cli.screen import write_plain
    from airweft.workshop.starter import starter_text, write_new

    text = starter_text(form)
    if file is None:
        write_plain(text)
        return 0
    write_new(file, text)
    say(out(), f"Wrote {file}. Change it, then: airweft make {file} --out FOLDER")
    return 0


def _refuse(error: AirweftError, file: Path, *, as_json: bool) -> int:
    from airweft.cli.answers import findings_answer, write_json
    from airweft.cli.show_findings import show_findings

    if as_json:
        write_json(findings_answer(error.findings))
    else:
        show_findings(err(), error.findings, str(file))
    return 1 if isinstance(error, CannotMake) else 2


def _choice(option: str, value: str, known: tuple[_Choice, ...]) -> _Choice:
    """The known choice that `value` names, whatever its letters' case. Raises BadInput."""
    for choice in known:
        if value.strip().lower() == choice:
            return choice
    like = nearest(value, known)
    raise _wrong_value(
        option,
        f"{option} cannot be “{value}”",
        (f"Did you mean {like}? " if like else "") + f"There are {said_list(known)}.",
    )


def _whole(option: str, value: str) -> int:
    text = value.strip()
    if not (text.isascii() and text.isdigit() and len(text) <= 18):
        raise _wrong_value(
            option, f"{option} cannot be “{value}”", "Give a whole number from 0, such as 7."
        )
    return int(text)


def _wrong_value(option: str, message: str, remedy: str) -> BadInput:
    return BadInput(
        Finding(
            code="wrong-option", severity="cannot", where=option, message=message, remedy=remedy
        )
    )
