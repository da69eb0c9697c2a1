"""The tests of Pocketfare; ``python3 -m tests`` runs them, see ``__main__.py``."""
