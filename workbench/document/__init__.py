"""The project as frozen data, and pure edits from one project to the next.  Knows no files and computes nothing."""
