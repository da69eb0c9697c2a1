"""Speed, measured as ratios to a stated baseline in the same run; see ``__main__``."""
