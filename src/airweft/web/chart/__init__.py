"""The flat chart of a piece as an element of a page: picked and painted like the view."""
