"""The app in the browser: thin pages over the workshop, for this computer and its own network."""
