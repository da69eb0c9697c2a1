"""Project files: reading with every problem named, atomic writing, recovery copies and locks."""
