"""Pages: the printed booklet and the phone page."""
