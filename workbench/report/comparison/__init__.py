"""Variants side by side as a page to print, and as tables for text, mail, clipboards and other programs."""
