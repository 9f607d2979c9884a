"""Codes that let one device in: hard to guess, used once, limited tries, nothing kept."""

from __future__ import annotations

import math
import subprocess
import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

import pytest

from airweft.web.share import qr_svg
from airweft.web.sharing import (
    ALPHABET,
    LENGTH,
    MOST_WRONG,
    MOST_WRONG_EACH,
    WAIT_SECONDS,
    Sharing,
    spaced,
)


class Clock:
    """Seconds that pass when the test says so."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_a_code_cannot_be_guessed_in_the_tries_there_are() -> None:
    assert len(set(ALPHABET)) == len(ALPHABET) == 31 and not set("01OIL") & set(ALPHABET)
    assert LENGTH * math.log2(len(ALPHABET)) > 59
    codes = {Sharing().code for _ in range(500)}
    assert len(codes) == 500 and all(len(code) == LENGTH for code in codes)
    counts = Counter("".join(codes))
    assert set(counts) == set(ALPHABET)
    # Chi-squared with 30 degrees of freedom: beyond 80 once in half a million runs.
    even = 500 * LENGTH / len(ALPHABET)
    assert sum((counts[mark] - even) ** 2 / even for mark in ALPHABET) < 80


def test_a_code_lets_in_one_device_however_it_is_typed() -> None:
    sharing = Sharing()
    first = sharing.code
    let = sharing.try_code(f" {spaced(first).lower().replace(' ', '-')} ", "a")
    assert sharing.knows(let.cookie) and len(let.cookie) >= 43 and sharing.devices == 1
    assert sharing.code != first
    again = sharing.try_code(first, "a")
    assert not again.cookie and "one device" in again.said


@pytest.mark.parametrize("wrong", ["", " ", "x" * 100_000, "\0", "é" * 12, "☃", "A" * 12, "\ud800"])
def test_wrong_codes_let_nobody_in(wrong: str) -> None:
    sharing = Sharing()
    assert not sharing.try_code(wrong, "a").cookie
    assert not sharing.knows(wrong) and sharing.devices == 0


def test_one_address_has_few_tries_and_then_waits() -> None:
    clock = Clock()
    sharing = Sharing(clock)
    for _ in range(MOST_WRONG_EACH):
        assert "not the code" in sharing.try_code("WRONG", "a").said
    assert "Too many" in sharing.try_code(sharing.code, "a").said  # even the right one
    assert sharing.try_code(sharing.code, "b").cookie  # others are not kept out
    clock.now += WAIT_SECONDS + 1
    assert sharing.try_code(sharing.code, "a").cookie


def test_many_wrong_tries_from_anywhere_replace_the_code() -> None:
    sharing = Sharing(Clock())
    first = sharing.code
    for number in range(MOST_WRONG - 1):
        sharing.try_code("WRONG", f"address {number}")
    assert sharing.code == first
    sharing.try_code("WRONG", "one more")
    assert sharing.code != first


def test_tries_from_very_many_addresses_take_little_room() -> None:
    sharing = Sharing(Clock())
    for number in range(5000):
        sharing.try_code("WRONG", f"address {number}")
    assert len(sharing._tries) <= 1000


def test_devices_can_be_shut_out() -> None:
    sharing = Sharing()
    cookie = sharing.try_code(sharing.code, "a").cookie
    code = sharing.code
    sharing.forget_devices()
    assert not sharing.knows(cookie) and sharing.code != code and sharing.devices == 0


def test_the_picture_is_read_as_the_address_with_the_code_behind_a_hash(tmp_path: Path) -> None:
    svg = qr_svg("http://192.168.7.7:7420/", "ABCD2345WXYZ")
    ET.fromstring(svg)
    picture = tmp_path / "qr.png"
    from airweft.draw.raster import to_png

    picture.write_bytes(to_png(svg, width=600))
    try:
        done = subprocess.run(
            ["zbarimg", "-q", "--raw", str(picture)], capture_output=True, text=True, check=True
        )
    except FileNotFoundError:
        pytest.skip("zbarimg is not on this machine: apt-get install zbar-tools")
    assert done.stdout.strip() == "http://192.168.7.7:7420/join#ABCD2345WXYZ"
