"""Forms turned into polygon meshes."""
