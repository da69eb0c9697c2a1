"""The recipe as a table: the view with its sliders, and how its cells are painted and edited."""
