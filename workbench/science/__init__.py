"""Pure functions on numbers and arrays, each with its source.  No files, no clock, no state."""
