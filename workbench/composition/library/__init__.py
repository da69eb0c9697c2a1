"""The user's own library: foods of one's own, and whole imported tables, in one SQLite file that keeps every revision.

``records`` says what is kept, ``packing`` how a food becomes bytes, ``schema`` what the file looks like, ``connection``
opens it and words what can go wrong, ``steps`` writes revisions and takes them back, ``store`` is the library as the
rest of the program uses it; ``importing``, ``backup``, ``merging``, ``differences``, ``lots`` and ``rules`` do what
their names say; ``index`` searches it.  Nothing is ever loaded whole.
"""
