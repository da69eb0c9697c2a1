"""Pages that are printed: drawn as plain data first, written as PDF last.

``page`` holds what can stand on a page, ``fonts`` measures text with the bundled font, ``setting`` makes text fit and
says what it had to change, ``writer`` makes the file.  A preview paints the same pages without a PDF.
"""
