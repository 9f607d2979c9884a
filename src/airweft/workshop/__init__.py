"""The whole job in order, for the command line and the app."""
