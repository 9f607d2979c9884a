"""Outside 3D models: reading, repair, remeshing, evening out."""
