"""The maker's own things, kept: pieces, their history, their plans and how far the making is."""
