"""Panels: one file each; they receive the session and never import each other."""
