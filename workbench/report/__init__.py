"""Layout of what leaves the program.  It arranges results and computes nothing."""
