"""The pages of the app, one module for each."""
