"""What a maker does with a page in a browser, and sees of it."""

from __future__ import annotations


def count(page):
    return page.text_content("#step-count")


def at(page):
    return page.evaluate(
        "JSON.parse(localStorage.getItem(Object.keys(localStorage).find("
        "(k) => k.startsWith('airweft.place.')))).at"
    )


COPY = (
    "const copy = (w, h) => { const c = document.createElement('canvas');"
    "c.width = w; c.height = h;"
    "const x = c.getContext('2d', {willReadFrequently: true}); x.imageSmoothingEnabled = false;"
    "x.drawImage(document.getElementById('view'), 0, 0, w, h);"
    "return x.getImageData(0, 0, w, h).data; };"
)


def picture(page):
    """The colours of the picture on a coarse grid, as one text."""
    return page.evaluate(f"(() => {{ {COPY} return [...copy(32, 32)].join(); }})()")


def settle(page):
    page.wait_for_timeout(650)


def middle(page, selector):
    box = page.locator(selector).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def swipe(page, selector, dx, dy=0):
    x, y = middle(page, selector)
    touch = page.context.new_cdp_session(page)
    send = lambda kind, points: touch.send(  # noqa: E731
        "Input.dispatchTouchEvent", {"type": kind, "touchPoints": points}
    )
    send("touchStart", [{"x": x, "y": y}])
    for part in (0.25, 0.5, 0.75, 1):
        send("touchMove", [{"x": x + dx * part, "y": y + dy * part}])
    send("touchEnd", [])
