"""The commands and their options. Each asks the workshop, prints, and returns an exit code."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from airweft import __version__
from airweft.base.errors import AirweftError, BadInput, CannotMake
from airweft.base.refusals import wrong_option
from airweft.cli.open_app import open_app
from airweft.cli.progress_bar import shown_progress
from airweft.cli.screen import err, out, say
from airweft.cli.values import choice, effort_of, people, seconds, seed_of, whole

if TYPE_CHECKING:
    from airweft.workshop.stocked import Store

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
    str | None,
    typer.Option(
        "--seed",
        metavar="NUMBER",
        help="Same seed, same plan; another may differ. Without it the design's own, or 0.",
        show_default=False,
    ),
]
CrewOption = Annotated[
    str | None,
    typer.Option(
        "--crew",
        metavar="NUMBER",
        help="So many people make it at once, each a part, and join the parts. Without it the "
        "design's own crew, or one maker.",
        show_default=False,
    ),
]
JsonOption = Annotated[
    bool,
    typer.Option(
        "--json", metavar="", help="Answer as JSON on standard output, for other programs."
    ),
]
StockOption = Annotated[
    Path | None,
    typer.Option(
        "--stock",
        metavar="STOCK.toml",
        help="Plan from the balloons you have; airweft new stock begins such a file.",
        show_default=False,
    ),
]
ExactOption = Annotated[
    bool,
    typer.Option(
        "--exact",
        metavar="",
        help="Search on for the fewest balloons or a proof, some minutes at most; Ctrl-C takes the "
        "best so far.",
    ),
]
TimeLimitOption = Annotated[
    str | None,
    typer.Option(
        "--time-limit",
        metavar="SECONDS",
        help="End --exact after so many seconds. Without it the same design gives the same plan.",
        show_default=False,
    ),
]
EffortOption = Annotated[
    str,
    typer.Option(
        "--effort",
        metavar="NUMBER",
        help="Search longer or shorter: 10 is ten times the usual. Ctrl-C takes the best so far.",
    ),
]
OnlyStockOption = Annotated[
    bool,
    typer.Option(
        "--only-stock",
        metavar="",
        help="Refuse, with exit code 1, what the stock does not suffice for.",
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
        str | None,
        typer.Option(
            metavar="STYLE",
            help="How to build: a style such as pairs or rounds, fewest balloons, or best by the "
            "weights. Without it the design's own, or best.",
            show_default=False,
        ),
    ] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    edition: Annotated[
        str, typer.Option(metavar="EDITION", help="standard, or large type in one column.")
    ] = "standard",
    seed: SeedOption = None,
    crew: CrewOption = None,
    replace: Annotated[
        bool,
        typer.Option(
            "--replace",
            metavar="",
            help="Use the folder even if it holds other things; your files in the way are kept "
            "under new names.",
        ),
    ] = False,
    stock: StockOption = None,
    only_stock: OnlyStockOption = False,
    return_to: Annotated[
        Path | None,
        typer.Option(
            "--return-to",
            metavar="FILE",
            help="A new file for the stock as it is afterwards, rests included.",
            show_default=False,
        ),
    ] = None,
    exact: ExactOption = False,
    time_limit: TimeLimitOption = None,
    effort: EffortOption = "1",
    go_on: Annotated[
        bool,
        typer.Option(
            "--go-on", metavar="", help="Search on from the plan that lies in the folder."
        ),
    ] = False,
    as_json: JsonOption = False,
) -> int:
    """Make everything for a piece: booklet, phone page, plan, pictures and shopping list."""
    from airweft.cli.answers import made_answer, write_json
    from airweft.cli.show_made import show_made
    from airweft.workshop.job import run
    from airweft.workshop.options import EDITIONS, PAPERS, STYLES, exact_limit

    limit = seconds(time_limit, exact=exact, stock=stock)
    makers = people(crew, style)
    multiple = effort_of(effort)
    asked = partial(
        run,
        crew=makers,
        style=None if style is None else choice("--style", style, STYLES),
        paper=choice("--paper", paper, PAPERS),
        edition=choice("--edition", edition, EDITIONS),
        seed=seed_of(seed),
        replace=replace,
        return_to=return_to,
        exact=exact_limit(exact, limit),
        effort=multiple,
        go_on=go_on,
    )
    if stock is not None and (go_on or multiple != 1.0):
        raise wrong_option(
            "--stock",
            "--stock goes with neither --effort nor --go-on",
            "Plan without the stock first, or leave them out.",
        )
    store = _store(stock, only=only_stock, return_to=return_to)
    if isinstance(store, BadInput):
        return _refuse(store, stock or design, as_json=as_json)
    try:
        with shown_progress(quiet=as_json) as progress:
            outcome = asked(design, folder, store=store, progress=progress)
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
    stock: StockOption = None,
    only_stock: OnlyStockOption = False,
    as_json: JsonOption = False,
) -> int:
    """Say everything that is wrong with a design or a plan, from whatever program it comes."""
    from airweft.cli.answers import examined_answer, write_json
    from airweft.cli.show_examined import show_examined
    from airweft.workshop.examine import examine

    store = _store(stock, only=only_stock)
    if isinstance(store, BadInput):
        return _refuse(store, stock or file, as_json=as_json)
    with shown_progress(quiet=as_json) as progress:
        examined = examine(file, store=store, progress=progress)
    if as_json:
        write_json(examined_answer(examined))
    else:
        show_examined(out(), err(), examined, str(file))
    if not examined.readable:
        return 2
    return 0 if examined.makeable else 1


@app.command()
def compare(
    design: DesignFile,
    seed: SeedOption = None,
    crew: CrewOption = None,
    variants: Annotated[
        str,
        typer.Option(
            metavar="NUMBER", help="Plans of so many seeds in each style, one after the other."
        ),
    ] = "1",
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture",
            metavar="FILE",
            help="A new SVG file for a picture of the trade-offs.",
            show_default=False,
        ),
    ] = None,
    choose: Annotated[
        str | None,
        typer.Option(
            "--choose",
            metavar="STYLE",
            help="Store this style in the design, with --crew where it depends on that; nothing "
            "else in the file changes.",
            show_default=False,
        ),
    ] = None,
    stock: StockOption = None,
    only_stock: OnlyStockOption = False,
    exact: ExactOption = False,
    time_limit: TimeLimitOption = None,
    as_json: JsonOption = False,
) -> int:
    """Show the styles of building a design side by side: what each costs and asks of the hands."""
    from airweft.cli.answers import compared_answer, write_json
    from airweft.cli.show_compared import show_compared
    from airweft.workshop.options import STYLES, exact_limit
    from airweft.workshop.side_by_side import Row, choose_row, side_by_side, write_picture
    from airweft.workshop.store_choice import snapshot

    number = seed_of(seed)
    limit = seconds(time_limit, exact=exact, stock=stock)
    makers = people(crew)
    many = whole("--variants", variants)
    if not 1 <= many <= 100:
        raise wrong_option("--variants", f"--variants cannot be {many}", "Give 1 to 100.")
    style = None if choose is None else choice("--choose", choose, STYLES)
    before = snapshot(design)
    store = _store(stock, only=only_stock)
    if isinstance(store, BadInput):
        return _refuse(store, stock or design, as_json=as_json)
    try:
        with shown_progress(quiet=as_json) as progress:
            found, rows = side_by_side(
                design,
                seed=number,
                crew=makers,
                variants=many,
                store=store,
                exact=exact_limit(exact, limit),
                progress=progress,
            )
        if picture is not None:
            write_picture(picture, found, rows)
        stored = (
            None if style is None else choose_row(design, before, found, rows, style, crew=makers)
        )
    except AirweftError as error:
        return _refuse(error, design, as_json=as_json)
    short = only_stock and all(row.missing != 0 for row in rows if isinstance(row, Row))
    if as_json:
        write_json(compared_answer(found, rows, short=short, stored=stored))
    else:
        show_compared(out(), found, rows, str(design), "" if store is None else store.name)
        if picture is not None:
            say(out(), f"Drew the trade-offs into {picture}.")
        if stored is not None:
            say(out(), f"The design says now: {stored}.")
    return 1 if short else 0


@app.command()
def substitutes(
    design: DesignFile,
    stock: Annotated[
        Path, typer.Option("--stock", metavar="STOCK.toml", help="Your stock.", show_default=False)
    ],
    seed: SeedOption = None,
    take: Annotated[
        str,
        typer.Option(
            "--take",
            metavar="NUMBER",
            help="With --write: the number of what stands in, or several: 1,4.",
            show_default=False,
        ),
    ] = "",
    write: Annotated[
        Path | None,
        typer.Option(
            "--write",
            metavar="NEW.toml",
            help="A new file for the design with what you take.",
            show_default=False,
        ),
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Show colours and sizes in stock for what is short; replace nothing unless told."""
    from airweft.cli.answers import substitutes_answer, write_json
    from airweft.cli.show_substitutes import show_substitutes
    from airweft.workshop.substitutes import find_substitutes, write_substitute

    number = seed_of(seed)
    numbers = [whole("--take", one) for one in take.split(",") if one.strip()]
    if bool(numbers) != (write is not None):
        raise wrong_option(
            "--take" if numbers else "--write",
            "--take and --write go together",
            "Say what to take and where to write it: --take 1 --write NEW.toml",
        )
    store = _store(stock)
    if isinstance(store, BadInput):
        return _refuse(store, stock, as_json=as_json)
    assert store is not None, "a stock file gives a stock"
    try:
        with shown_progress(quiet=as_json) as progress:
            found = find_substitutes(design, store, seed=number, progress=progress)
        if write is not None:
            write_substitute(found, numbers, design, write)
    except AirweftError as error:
        return _refuse(error, design, as_json=as_json)
    if as_json:
        write_json(substitutes_answer(found, write))
    else:
        show_substitutes(out(), found, str(design), store.name, write)
    return 0


@app.command()
def model(
    design: DesignFile,
    file: Annotated[
        Path,
        typer.Option(
            "--out", metavar="NEW.glb", help="A new file for the model.", show_default=False
        ),
    ],
    seed: SeedOption = None,
    as_json: JsonOption = False,
) -> int:
    """Write the piece as a 3D model (GLB) for other programs, in the shape that it will take."""
    from airweft.cli.answers import modelled_answer, write_json
    from airweft.cli.show_made import show_modelled
    from airweft.workshop.as_model import save_model

    number = seed_of(seed)
    try:
        with shown_progress(quiet=as_json) as progress:
            modelled = save_model(design, file, seed=number, progress=progress)
    except AirweftError as error:
        return _refuse(error, design, as_json=as_json)
    if as_json:
        write_json(modelled_answer(modelled))
    else:
        show_modelled(out(), modelled, str(design))
    return 0


@app.command()
def new(
    form: Annotated[
        str,
        typer.Argument(
            metavar="FORM",
            help="The kind of form: box, tube, ball ... A wrong one lists all. Or: stock.",
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
    """Write a starter design with comments, or a stock, to change into your own."""
    from airweft.cli.screen import write_plain
    from airweft.workshop.starter import is_stock, starter_text, write_new

    text = starter_text(form)
    if file is None:
        write_plain(text)
        return 0
    write_new(file, text)
    if is_stock(form):
        then = f"Count your balloons into it, then: airweft make DESIGN.toml --stock {file}"
    else:
        then = f"Change it, then: airweft make {file}"
    say(out(), f"Wrote {file}. {then} --out FOLDER")
    return 0


app.command("app")(open_app)


def _store(
    file: Path | None, *, only: bool = False, return_to: Path | None = None
) -> Store | BadInput | None:
    """The stock that was given, None without one, or what is wrong with it."""
    if file is None:
        option = "--only-stock" if only else "--return-to" if return_to is not None else ""
        if not option:
            return None
        return wrong_option(
            option, f"{option} has no meaning without a stock", "Add --stock and its file."
        )
    from airweft.workshop.stocked import open_store

    try:
        return open_store(file, only=only)
    except BadInput as error:
        return error


def _refuse(error: AirweftError, file: Path, *, as_json: bool) -> int:
    from airweft.cli.answers import findings_answer, write_json
    from airweft.cli.show_findings import show_findings

    if as_json:
        write_json(findings_answer(error.findings))
    else:
        show_findings(err(), error.findings, str(file))
    return 1 if isinstance(error, CannotMake) else 2
