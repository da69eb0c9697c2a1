"""Pocketfare: a workbench for formulating portable endurance food."""

__version__ = "0.1.0"
