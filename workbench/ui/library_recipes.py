"""Recipes of composite ingredients, as the window reads and writes them: in the form of project files."""

import datetime

from workbench.recipe.following import Files
from workbench.storage.project_file import decode_project, encode_project

RECIPE_FILES = Files(encode_project, lambda recipe: decode_project(recipe).project)


def today() -> str:
    """The user's own day, ISO 8601."""
    return f"{datetime.datetime.now().astimezone():%Y-%m-%d}"
