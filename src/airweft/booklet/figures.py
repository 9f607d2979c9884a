"""The booklet's pictures, asked of the draw stage, each with the words that stand for it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airweft.booklet.book import Book
from airweft.booklet.crew_page import crew_figures, net_by_parts, part_colours
from airweft.booklet.facts import codes_text, count
from airweft.booklet.measured import charts, gauges
from airweft.booklet.pictures import Figure, Pictures, StepFigure
from airweft.draw.body import Bodies, bodies_of
from airweft.draw.camera import Camera
from airweft.draw.howto import needed_diagrams
from airweft.draw.picture import Labels, piece
from airweft.draw.view import FRONT, Sight, View, Viewer
from airweft.records.steps import Chapter, Step

MOST_PICTURES = 72
VERY_LARGE, FEWER_PICTURES = 1200, 60  # so many bubbles, and the pictures that fit 2 MB then
CLOSE_UP = 320  # from so many finished bubbles on only those near the new work are drawn
_NEAR = 2.6  # how near, in lengths of the longest bubble
PICTURES_SAY = (
    "In the pictures new bubbles are strong and finished ones pale. The first new bubble of a "
    "balloon carries the balloon's code, those after it their number on that balloon; where many "
    "balloons work, each bubble carries its code, and where very many bubbles are new, the mark "
    "of its colour. Dark plates name the joints that the text names. Dashed outlines are new "
    "bubbles behind others. Front, right, back and left are the sides of the finished piece as the "
    "cover shows it; under each picture it says from where it is seen. Turn the piece when a "
    "picture asks for it, and lay it as the picture shows."
)
_FIRST, _FIRST_OF_PART, _MOST_JOININGS = 12, 3, 24  # steps that have a picture in any case
_MOST_NAMES = 16  # joint names in one picture
_NAMED = 40  # up to so many new bubbles each carries its number or its balloon's code
_NUMBERED = 4  # up to so many balloons in a step their bubbles are numbered


def draw_all(book: Book, *, large: bool = False) -> Pictures:
    """Draw everything the booklet shows."""
    bodies = bodies_of(book.net)
    begun = [action for action in book.plan.actions if action.do == "start"]
    diagrams = needed_diagrams(
        book.palette,
        pairs=any(action.do == "tie" for action in book.plan.actions),
        tied_on=len(begun) > 1,
        loops="loop" in book.net.kinds,
    )
    return Pictures(
        cover=_cover(book, bodies),
        crew=crew_figures(book, bodies),
        steps=_steps(book, bodies),
        charts=charts(book, large=large),
        gauges=gauges(book),
        howto=tuple(
            Figure(svg=one.svg, alt=one.alt, title=one.title, text=one.alt) for one in diagrams
        ),
    )


def pictured(
    steps: Sequence[Step], most: int = MOST_PICTURES, chapters: Sequence[Chapter] = ()
) -> list[int]:
    """Which steps get a picture, as places in `steps`: all, or a fair choice where they are many.

    The first twelve and the last two always; or of a crew's chapters the first few, and as a rule
    every joining. The rest evenly spaced.
    """
    if len(steps) <= most:
        return list(range(len(steps)))
    last = len(steps) - 2
    always = {last, last + 1} | (set() if chapters else set(range(_FIRST)))
    for chapter in chapters:
        own = range(chapter.first_step - 1, chapter.last_step)
        always |= set(own[: _FIRST_OF_PART if chapter.person else _MOST_JOININGS])
    others = [at for at in range(len(steps)) if at not in always]
    between = most - len(always)
    chosen = {others[(n + 1) * len(others) // (between + 1)] for n in range(between)}
    return sorted(chosen | always)


def _cover(book: Book, bodies: Bodies) -> Figure:
    svg = piece(book.net, book.palette, FRONT, width=480, bodies=bodies)
    names = ", ".join(c.name for c in book.palette if c.mark in book.net.colours)
    return Figure(
        svg=svg,
        alt=f"The finished piece: {count(book.net.bubble_count, 'bubble')} in {names}, "
        "seen from the front, a little from the right and above.",
    )


def _steps(book: Book, bodies: Bodies) -> dict[int, StepFigure]:
    """Pictures of the steps, each seen from where its new work shows."""
    steps = book.instructions.steps
    large = book.net.bubble_count > VERY_LARGE
    most = FEWER_PICTURES if large else MOST_PICTURES
    with_picture = set(pictured(steps, most, book.instructions.chapters))
    scenes: list[_Scene] = []
    sights: list[Sight] = []
    done: list[int] = []
    chapters = {chapter.first_step: chapter for chapter in book.instructions.chapters}
    joining = anew = False
    for at, step in enumerate(steps):
        fresh = list(step.new_bubbles)
        if step.number in chapters:  # each part lies alone on its maker's table until the joining
            joining = chapters[step.number].person == 0
            done, anew = [b for s in steps[:at] if joining for b in s.new_bubbles], True
        if at in with_picture and (done or fresh):
            focus = fresh or _touched(book, step, done)
            near = list(_near(book, bodies, done, focus))  # `done` grows on
            sights.append(Sight(near, focus, anew))
            scenes.append(_Scene(book, bodies, near, step, len(done), by_parts=joining))
            anew = False
        done += fresh
    views = Viewer(book.net, bodies=bodies).views(sights)
    return {
        scene.step.number: _step_figure(scene, view)
        for scene, view in zip(scenes, views, strict=True)
    }


class _Scene:
    """What one step's pictures show, whatever the view; `done` bubbles were finished before."""

    def __init__(
        self, book: Book, bodies: Bodies, near: list[int], step: Step, done: int, *, by_parts: bool
    ) -> None:
        self.book, self.bodies, self.done = book, bodies, done
        self.near, self.step = near, step
        self.labels: Labels = _labels(book, step.new_bubbles)
        self.joints = {joint: name for name, joint in step.named[:_MOST_NAMES]}
        self.net, self.palette = book.net, book.palette
        self.by_parts = by_parts and not step.new_bubbles
        if self.by_parts:  # nothing is new: parts in colours of their own, both names at a joint
            self.net, self.palette = net_by_parts(book), part_colours(book)
            self.labels = dict(enumerate(self.net.colours))
            self.joints = {}
            for name, joint in step.named:
                self.joints[joint] = (
                    f"{self.joints[joint]} {name}" if joint in self.joints else name
                )

    def draw(self, camera: Camera) -> str:
        """The picture as SVG."""
        return piece(
            self.net,
            self.palette,
            camera,
            shown=self.near,
            new=self.step.new_bubbles,
            veiled=not self.by_parts,
            labels=self.labels,
            joints=self.joints,
            bodies=self.bodies,
        )


def _step_figure(scene: _Scene, view: View) -> StepFigure:
    """A step's picture and its words."""
    done = scene.done
    about = (
        f"Step {scene.step.number}: {count(len(scene.joints), 'joint')} to lock, every bubble "
        "marked with the part that it belongs to"
        if scene.by_parts
        else _about(scene.book, scene.step, done)
    )
    what = "these joints" if scene.by_parts else "the new work"
    close = len(scene.near) < done
    insets: tuple[tuple[Figure, str], ...] = ()
    if view.inset is not None:
        inset = Figure(svg=scene.draw(view.inset), alt=f"{about}, {view.inset_words}.")
        insets = ((inset, f"The same, {view.inset_words}."),)
    return StepFigure(
        figure=Figure(
            svg=scene.draw(view.camera),
            alt=f"{about}, {view.words}.",
            share=_share(len(scene.near) + len(scene.step.new_bubbles)),
        ),
        seen=f"Seen {view.words}."
        + (f" Close-up: only what is near {what} is drawn." if close else ""),
        turn=f"Turn the piece: look at it {view.words}." if view.turned else "",
        insets=insets,
    )


def _touched(book: Book, step: Step, done: list[int]) -> list[int]:
    """The finished bubbles at the joints where the step does something."""
    actions = book.plan.actions[step.first_action : step.last_action]
    joints = {action.joint for action in actions}
    ends = book.net.ends.tolist()
    return [bubble for bubble in done if joints.intersection(ends[bubble])]


def _share(drawn: int) -> float:
    """How much of its room a picture takes, so that few bubbles are not blown up."""
    return 0.5 if drawn <= 4 else 0.7 if drawn <= 9 else 0.85 if drawn <= 14 else 1.0


def _near(book: Book, bodies: Bodies, done: list[int], fresh: list[int]) -> list[int]:
    """The finished bubbles to draw: all of them, or of very many those near the new ones."""
    if len(done) < CLOSE_UP or not fresh:
        return done
    reach = _NEAR * float(book.net.lengths.max()) / 100
    centres = bodies.centres
    kept = np.zeros(len(done), dtype=bool)
    for bubble in fresh:
        kept |= ((centres[done] - centres[bubble]) ** 2).sum(axis=1) < reach**2
    return [bubble for bubble, keep in zip(done, kept.tolist(), strict=True) if keep]


def _labels(book: Book, fresh: Sequence[int]) -> Labels:
    """What stands on the new bubbles (`PICTURES_SAY` tells how to read it).

    The balloon's code on its first new bubble, then numbers as the text counts them (R1.5 is where
    bubble 5 ends); of many balloons only the codes; of very many bubbles only the marks.
    """
    wanted = set(fresh)
    makers = [b for b in book.plan.balloons if wanted.intersection(b.bubbles)]
    if len(fresh) > _NAMED or not makers:
        return "mark"
    labels: dict[int, str] = {}
    for balloon in makers:
        begun = False
        for number, bubble in enumerate(balloon.bubbles, start=1):
            if bubble in wanted:
                plain = begun and len(makers) <= _NUMBERED
                labels[bubble] = f"{number}" if plain else balloon.code
                begun = True
    return labels


def _about(book: Book, step: Step, done: int) -> str:
    """What a step's picture shows, for those who cannot see it."""
    actions = book.plan.actions[step.first_action : step.last_action]
    codes = tuple(dict.fromkeys(c for a in actions if a.do == "twist" for c in a.balloons))
    named = f" of {codes_text(codes)}" if codes and len(codes) <= 12 else ""
    old = f", on {count(done, 'finished bubble')} in pale" if done else ""
    return f"Step {step.number}: {count(len(step.new_bubbles), 'new bubble')}{named}{old}"
