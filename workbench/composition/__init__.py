"""Foods and their values: the column dictionary, the bundled table and the rules that fill gaps."""
