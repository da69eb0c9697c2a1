"""What everything else stands on: errors and problems, paths, files, text, units.  Knows nothing of food."""
