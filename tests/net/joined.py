"""Joined designs for the tests, and what every net of theirs has to be."""

from __future__ import annotations

import networkx as nx

from airweft.records.net import Net

HEAD = """
airweft = 1
name = "Joined"
units = "cm"
[balloon]
size = "260"
bubble = 3
[colours]
R = "red"
W = "white"
[pattern]
kind = "plain"
colour = "R"
[form]
kind = "joined"
"""


def one_piece(net: Net) -> None:
    """All connected, names once, two to eight ends at each joint, or one that hangs (M9 to M12)."""
    graph = nx.MultiGraph(net.ends.tolist())
    assert nx.is_connected(graph) and len(graph) == net.joint_count
    assert len(set(net.joint_names)) == net.joint_count
    assert len(set(net.bubble_names)) == net.bubble_count
    hanging = {int(net.ends[b, 1]) for b, kind in enumerate(net.kinds) if kind == "free"}
    for joint, ends in enumerate(net.ends_at()):
        assert 2 <= len(ends) <= 8 or (joint in hanging and len(ends) == 1)
