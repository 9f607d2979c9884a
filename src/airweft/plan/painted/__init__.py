"""The *painted* style: trails for the whole piece first, then an order that keeps to them.

The bubble ends that meet at a joint are paired off: two paired ends belong to one balloon, an end
left over is where a balloon begins or ends. Any such pairing is a share-out of the piece among
balloons, and the number of its trails is the number of balloons, so that it can be improved long
before anything is laid (trail.py). The build order then grows like the rounds style, and takes
moves that keep to the pairing wherever two hands can make them (move.py, grow.py). Where none can
be made the pairing is changed there, at the least price in trails, and improved again around that
place. search.py repeats this from different beginnings and from parts of the best run so far.

The inner loops are compiled by numba, which is loaded only when this style is asked for.
"""
