"""Long proofs: the same properties as in the suite, for as long as one likes; see ``__main__``."""
