"""The icons of the app: plain strokes on a grid of 24, drawn for it."""

from __future__ import annotations

_PATHS: dict[str, str] = {
    "mark": '<path d="M12 2 22 12 12 22 2 12Z"/><path d="M7 7 17 17M17 7 7 17"/>',
    "undo": '<path d="M8 5 3.5 9.5 8 14"/><path d="M4 9.5h9.5a6 5 0 0 1 0 10H9"/>',
    "redo": '<path d="m16 5 4.5 4.5L16 14"/><path d="M20 9.5h-9.5a6 5 0 0 0 0 10H15"/>',
    "more": '<g fill="currentColor" stroke="none"><circle cx="5" cy="12" r="1.9"/>'
    '<circle cx="12" cy="12" r="1.9"/><circle cx="19" cy="12" r="1.9"/></g>',
    "plus": '<path d="M12 5v14M5 12h14"/>',
    "minus": '<path d="M5 12h14"/>',
    "pipette": '<path d="m14 6 4 4M12.5 7.5 16 4a2.4 2.4 0 0 1 4 4l-3.5 3.5Z"/>'
    '<path d="m13 9-8 8v2.5h2.5l8-8"/>',
    "back": '<path d="M14.5 5 7.5 12l7 7"/>',
    "next": '<path d="M4.5 12h14M12.5 6l6 6-6 6"/>',
    "copy": '<rect x="8.5" y="8.5" width="11" height="11" rx="2.5"/>'
    '<path d="M5 15.5V7a2.5 2.5 0 0 1 2.5-2.5H15.5"/>',
    "rename": '<path d="m5 19 1-4.2L16.3 4.5l3.2 3.2L9.2 18Z"/><path d="m13.8 7 3.2 3.2"/>',
    "bin": '<path d="M4.5 7h15M9.5 7V4.5h5V7M6.5 7l1 12.5h9l1-12.5M10 11v5M14 11v5"/>',
    "restore": '<path d="M4 12a8 8 0 1 0 2.5-5.8"/><path d="M6.5 2.5v4h4"/>',
    "export": '<path d="M12 15V4M7.5 8 12 3.5 16.5 8M5 14v5.5h14V14"/>',
    "import": '<path d="M12 3.5v11M7.5 10.5 12 15l4.5-4.5M5 14v5.5h14V14"/>',
    "alert": '<path d="M12 4 21 19.5H3Z"/><path d="M12 10v4.5M12 17v.2"/>',
    "note": '<circle cx="12" cy="12" r="8.5"/><path d="M12 11v5.5M12 7.5v.2"/>',
    "close": '<path d="m6 6 12 12M18 6 6 18"/>',
    "light": '<circle cx="12" cy="12" r="4"/><path d="M12 3v2M12 19v2M3 12h2M19 12h2M5.6 5.6 7 7'
    'M17 17l1.4 1.4M18.4 5.6 17 7M7 17l-1.4 1.4"/>',
    "tablet": '<rect x="5" y="3.5" width="14" height="17" rx="2.5"/><path d="M10.5 17.5h3"/>',
    "stop": '<rect x="6.5" y="6.5" width="11" height="11" rx="2"/>',
    "check": '<path d="m5 12.5 4.5 4.5L19 7.5"/>',
    "shape": '<path d="M12 3 20 7.5v9L12 21l-8-4.5v-9Z"/><path d="M4 7.5 12 12l8-4.5M12 12v9"/>',
    "colours": '<path d="M12 3.5c3 4 5.5 6.7 5.5 10a5.5 5.5 0 0 1-11 0c0-3.3 2.5-6 '
    '5.5-10Z"/><path d="M9.5 14a2.5 2.5 0 0 0 2.5 2.5"/>',
    "plan": '<path d="M5 5.5h4v4H5ZM5 14.5h4v4H5ZM12.5 7.5H19M12.5 16.5H19"/>',
    "make": '<circle cx="7.5" cy="12" r="4"/><circle cx="16.5" cy="12" r="4"/>'
    '<path d="M11 10.5 13 13.5M13 10.5 11 13.5"/>',
    "print": '<path d="M7 9V4h10v5M7 17H4.5V9h15v8H17"/><path d="M7 14h10v6H7Z"/>',
}


def svg(name: str) -> str:
    """The icon as SVG in the colour of the text around it; for the eye only, unseen by readers."""
    return (
        '<svg viewBox="0 0 24 24" width="24" height="24" fill="none" stroke="currentColor" '
        'stroke-width="1.8" stroke-linecap="round" stroke-linejoin="round" aria-hidden="true" '
        f'focusable="false">{_PATHS[name]}</svg>'
    )
